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
from snath.quantities.units import show
from snath.shop.cli.answer import facts, said
from snath.shop.cli.common import tenth_rpm
from snath.shop.cli.words import RUNNING_CAUTION, rpm


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
        "why": facts((ahead.why,))[0],
        "steps": facts(ahead.steps),
    }


def _measured(speed: Measured | None) -> float | None:
    return None if speed is None else tenth_rpm(speed.value)


def _share(droop: Measured | None) -> dict[str, float] | None:
    return None if droop is None else {"value": round(droop.value, 6), "u": round(droop.u, 6)}


def governor_text(found: GovernorResult, wish: Complaint | None, ahead: NextSetting | None) -> Iterator[str]:
    """The answer in lines."""
    if found.hunts:
        yield f"It hunts by {rpm(found.half_swing)} to each side. A repair comes first; nothing is set, nothing passes."
    if found.no_load and found.loaded and found.droop_on_loaded and found.droop_on_no_load:
        yield f"No load {rpm(found.no_load.value)}, loaded {rpm(found.loaded.value)}."
        on_loaded, on_no_load = found.droop_on_loaded.value, found.droop_on_no_load.value
        yield f"Droop {on_loaded:.2%} of the loaded speed, {on_no_load:.2%} of the no-load speed."
    if found.frequency:
        top, under = (show(hertz, "Hz", digits=2) for hertz in found.frequency)
        yield f"Frequency {top} at no load, {under} loaded: it stays between."
    for one in found.steady:
        yield _steady_text(one)
    for change in found.changes:
        yield _changed_text(change)
    yield from (f"  {said(met.why)} ({met.limits}; known: {met.standing})" for met in found.figures)
    yield from _wish_text(wish)
    yield from _ahead_text(ahead)
    yield from map(said, found.notes)
    yield from (f"-> {said(step)}" for step in found.next_steps)
    yield RUNNING_CAUTION


def _steady_text(one: Steadiness) -> str:
    hunting, band = one.hunting, one.band
    return (
        f"At {one.load}: {'hunts' if hunting.found else 'steady'}; strongest swing {hunting.rate:.2f} Hz, "
        f"{hunting.depth:.2%} to each side ({2 * hunting.depth:.2%} from peak to peak), "
        f"band {rpm(band.least_width)} to {rpm(band.width)} wide."
    )


def _changed_text(change: Changed) -> str:
    return (
        f"{change.kind.capitalize()}: {change.deviation:+.1%} of {rpm(change.base)} from where it was, "
        f"{change.overshoot:.1%} past where it settled, {_back(change.response.recovery)}."
    )


def _back(seconds: float) -> str:
    return "never back in a steady band" if math.isinf(seconds) else f"back within {seconds:.1f} s"


def _wish_text(wish: Complaint | None) -> Iterator[str]:
    if wish is None:
        return
    yield f"{rpm(wish.loaded.value)} under load takes {rpm(wish.no_load.value, side='up')} at no load."
    if wish.allowed is True:
        yield "That stays under the ceiling."
    if wish.allowed is False and wish.most_loaded is not None:
        most = rpm(wish.most_loaded.value, side="down")
        yield f"That is past the ceiling: the most it can have under load is {most}."


def _ahead_text(ahead: NextSetting | None) -> Iterator[str]:
    if ahead is None:
        return
    where = "" if ahead.position is None else f" {ahead.position:.2f}"
    yield f"Next setting: {ahead.advice}{where}. {said(ahead.why)}"
    if ahead.predicted is not None and ahead.upper is not None:
        yield f"Expect {rpm(ahead.predicted.value)}, not over {rpm(ahead.upper, side='up')} (95 %)."
    yield from (f"  {said(step)}" for step in ahead.steps)
