"""What the governor does, in lines for the terminal and as JSON."""

import math
from collections.abc import Iterator
from typing import Any

from snath.decisions.behaviour.complaint import Complaint
from snath.decisions.behaviour.figures import FigureMet
from snath.decisions.behaviour.governor import GovernorResult
from snath.decisions.behaviour.setting import NextSetting
from snath.decisions.behaviour.steadiness import Changed, Steadiness
from snath.quantities.measured import Measured
from snath.quantities.message import Amount, Message, Value, term
from snath.shop.answers.speeds import tenth_rpm
from snath.shop.cli.answer import fact, facts, said


def governor_data(found: GovernorResult, wish: Complaint | None, ahead: NextSetting | None) -> dict[str, Any]:
    """The answer as JSON has it."""
    data: dict[str, Any] = {
        "no_load_rpm": _measured(found.no_load),
        "loaded_rpm": _measured(found.loaded),
        "droop_on_loaded": _share(found.droop_on_loaded),
        "droop_on_no_load": _share(found.droop_on_no_load),
        "frequency_hz": found.frequency,
        "hunts": found.hunts,
        "half_swing_rpm": tenth_rpm(found.half_swing),
        "upper_edge_rpm": tenth_rpm(found.upper_edge),
        "steady": [_steady(one) for one in found.steady],
        "changes": [_changed(one) for one in found.changes],
        "figures": [_figure(one) for one in found.figures],
        "notes": facts(found.notes),
        "next_steps": facts(found.next_steps),
    }
    if wish is not None:
        data["wanted"] = _wanted(wish)
    if ahead is not None:
        data["next_setting"] = _next_setting(ahead)
    return data


def _steady(one: Steadiness) -> dict[str, Any]:
    return {
        "load": one.load,
        "mean_rpm": tenth_rpm(one.band.mean),
        "band_rpm": [tenth_rpm(one.band.least_width), tenth_rpm(one.band.width)],
        "hunting": one.hunting.found,
        "rate_hz": round(one.hunting.rate, 4),
        "depth": round(one.hunting.depth, 6),
        "peak_to_peak": round(2 * one.hunting.depth, 6),
        "chance": float(f"{one.hunting.chance:.3g}"),
    }


def _changed(one: Changed) -> dict[str, Any]:
    return {
        "change": one.kind,
        "at_s": one.at,
        "deviation": round(one.deviation, 6),
        "overshoot": round(one.overshoot, 6),
        "recovery_s": round(one.response.recovery, 3),
        "band_rpm": tenth_rpm(one.response.band),
    }


def _figure(met: FigureMet) -> dict[str, Any]:
    return {
        "rule": met.rule,
        "word": met.word,
        "low": met.low,
        "high": met.high,
        "limit": met.limit,
        "standing": met.standing,
    }


def _wanted(wish: Complaint) -> dict[str, Any]:
    return {
        "no_load_rpm": _measured(wish.no_load),
        "allowed": wish.allowed,
        "most_loaded_rpm": _measured(wish.most_loaded),
    }


def _next_setting(ahead: NextSetting) -> dict[str, Any]:
    return {
        "advice": ahead.advice,
        "position": None if ahead.position is None else round(ahead.position, 3),
        "predicted_rpm": _measured(ahead.predicted),
        "stays_under_rpm": tenth_rpm(ahead.upper),
        "why": fact(ahead.why),
        "steps": facts(ahead.steps),
    }


def _measured(speed: Measured | None) -> float | None:
    return None if speed is None else tenth_rpm(speed.value)


def _share(droop: Measured | None) -> dict[str, float] | None:
    return None if droop is None else {"value": round(droop.value, 6), "u": round(droop.u, 6)}


def governor_text(found: GovernorResult, wish: Complaint | None, ahead: NextSetting | None) -> Iterator[str]:
    """The answer in lines."""
    if found.hunts:
        yield said(Message("terminal.it-hunts", swing=Amount(found.half_swing, "rotation")))
    if found.no_load and found.loaded and found.droop_on_loaded and found.droop_on_no_load:
        no_load, loaded = Amount(found.no_load.value, "rotation"), Amount(found.loaded.value, "rotation")
        yield said(Message("terminal.no-load-and-loaded", no_load=no_load, loaded=loaded))
        on_loaded = Amount(found.droop_on_loaded.value, "share")
        on_no_load = Amount(found.droop_on_no_load.value, "share")
        yield said(Message("terminal.droop", on_loaded=on_loaded, on_no_load=on_no_load))
    if found.frequency:
        top, under = (Amount(hertz, "frequency") for hertz in found.frequency)
        yield said(Message("terminal.frequency", top=top, under=under))
    yield from (said(_steady_message(one)) for one in found.steady)
    yield from (said(_changed_message(change)) for change in found.changes)
    for met in found.figures:
        standing = term("standing", met.standing)
        yield f"  {said(Message('terminal.figure', why=met.why, limits=said(met.limits), standing=standing))}"
    yield from map(said, _wish(wish))
    if ahead is not None:
        yield from setting_lines(ahead)
    yield from map(said, found.notes)
    yield from (f"-> {said(step)}" for step in found.next_steps)


def _steady_message(one: Steadiness) -> Message:
    values: dict[str, Value] = {
        "load": term("load", one.load),
        "rate": one.hunting.rate,
        "seconds": Amount(one.hunting.seconds, "time"),
        "depth": Amount(one.hunting.depth, "share"),
        "peak": Amount(2 * one.hunting.depth, "share"),
        "least": Amount(one.band.least_width, "rotation"),
        "most": Amount(one.band.width, "rotation"),
    }
    return (
        Message("terminal.hunting", **values) if one.hunting.found else Message("terminal.steady", **values)
    )


def _changed_message(change: Changed) -> Message:
    back = change.response.recovery
    return Message(
        "terminal.changed",
        change=term("load", change.kind),
        deviation=Amount(change.deviation, "share"),
        base=Amount(change.base, "rotation"),
        overshoot=Amount(change.overshoot, "share"),
        back=Message("terminal.never-back") if math.isinf(back) else Message("terminal.back-within", t=back),
    )


def _wish(wish: Complaint | None) -> Iterator[Message]:
    if wish is None:
        return
    loaded, no_load = Amount(wish.loaded.value, "rotation"), Amount(wish.no_load.value, "rotation")
    yield Message("terminal.wish", loaded=loaded, no_load=no_load)
    if wish.allowed is True:
        yield Message("terminal.wish-allowed")
    if wish.allowed is False and wish.most_loaded is not None:
        yield Message("terminal.wish-past", most=Amount(wish.most_loaded.value, "rotation"))


def setting_lines(ahead: NextSetting) -> Iterator[str]:
    """The advice, where to and why, what to expect there, what is still open, and how it is done."""
    yield said(_setting_line(ahead))
    if ahead.predicted is not None and ahead.upper is not None:
        speed, upper = Amount(ahead.predicted.value, "rotation"), Amount(ahead.upper, "rotation")
        yield said(Message("terminal.expect", speed=speed, upper=upper))
    yield from (f"  {said(one)}" for one in (*ahead.still_open, *ahead.steps))


def _setting_line(ahead: NextSetting) -> Message:
    if ahead.still_open:
        return Message("terminal.next-setting-open", advice=term("advice", ahead.advice))
    advice, why = term("advice", ahead.advice), said(ahead.why)
    if ahead.position is None:
        return Message("terminal.next-setting", advice=advice, why=why)
    if ahead.advice == "leave it":
        return Message("terminal.next-setting-leave", position=ahead.position, why=why)
    if ahead.predicted is None:
        return Message("terminal.next-setting-try", advice=advice, position=ahead.position, why=why)
    return Message("terminal.next-setting-at", advice=advice, position=ahead.position, why=why)
