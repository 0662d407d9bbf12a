"""`snath stop`: does the blade stop in time, by a track of its run-down?"""

from collections.abc import Iterator
from typing import Any

import click

from snath.decisions.behaviour.stop import StopInput, StopLimit, StopResult, devices, judge_stop
from snath.decisions.behaviour.stop_evidence import StopEvidence
from snath.decisions.machine.parts import Machine
from snath.decisions.machine.sheet import read_sheet
from snath.quantities.errors import InputError
from snath.quantities.message import Message, term
from snath.quantities.numbers import DecimalMark
from snath.rules.kinds import TIPPED
from snath.shop.cli.answer import answer, facts, json_option, said, speaks_plainly
from snath.shop.cli.as_typed import as_typed
from snath.shop.cli.codes import EXIT_OF
from snath.shop.cli.common import decimal_option, market_option, rule_book, rules_option
from snath.shop.cli.typed import Typed
from snath.shop.media.text_file import read_text
from snath.shop.media.track_file import read_track

OPTIONS = {
    "shaft": "at",
    "maker_limit": "maker-limit",
    "u_release": "u-release",
    "u_standstill": "u-standstill",
}


@click.command()
@click.argument("sheet")
@click.argument("track")
@click.option("--device", required=True, help=f"How it is stopped: {', '.join(devices())}.")
@click.option("--at", "shaft", help="Shaft of the track; the blade's own where left out.")
@click.option("--blade", help="Which blade of the sheet; the first where left out.")
@click.option("--release", help='When the control was let go, on the track\'s clock, as "2.0 s".')
@click.option("--standstill", help="When the blade was seen to stand still.")
@click.option("--u-release", default="100 ms", show_default=True, help="Standard uncertainty of that mark.")
@click.option("--u-standstill", default="50 ms", show_default=True)
@click.option("--maker-limit", help="Stopping time in the machine's manual.")
@click.option("--manual", default="", help="Which manual, edition and page.")
@market_option
@rules_option
@decimal_option
@json_option
@speaks_plainly
def stop(
    sheet: str,
    track: str,
    market: str,
    rules: str | None,
    decimal_mark: DecimalMark,
    as_json: bool,
    **options: Any,
) -> None:
    """Stopping time of the blade in SHEET from TRACK (CSV of t_s, rpm, u_rpm): pass, fail or undecided."""
    machine = read_sheet(read_text(sheet, "sheet"), decimal_mark=decimal_mark)
    given = _given(Typed(options, decimal_mark), machine, track)
    with as_typed(OPTIONS):
        found = judge_stop(given, machine, rule_book(rules, decimal_mark), market=market)
    answer(_data(found), "\n".join(_text(found)), as_json=as_json, code=EXIT_OF[found.word])


def _given(typed: Typed, machine: Machine, track: str) -> StopInput:
    blade_shaft = _blade_shaft(machine, typed["blade"])
    marks = tuple((name, typed.maybe(name, "time")) for name in ("release", "standstill"))
    return StopInput(
        track=read_track(track, shaft=typed["shaft"] or blade_shaft, marks=marks),
        blade_shaft=blade_shaft,
        device=typed["device"],
        maker_limit=typed.maybe("maker_limit", "time"),
        maker_source=typed["manual"],
        u_release=typed.value("u_release", "time"),
        u_standstill=typed.value("u_standstill", "time"),
    )


def _blade_shaft(machine: Machine, blade: str | None) -> str:
    blades = [member for member in machine.members if member.kind in TIPPED]
    named = [member for member in blades if blade is None or member.name == blade]
    if not named:
        known = ", ".join(member.name for member in blades) or "none"
        raise InputError("blade", blade or "none", f"must be a blade of the sheet: {known}")
    return named[0].shaft


def _data(found: StopResult) -> dict[str, Any]:
    return {
        "verdict": found.word,
        "limits": [_limit(limit) for limit in found.limits],
        "reasons": facts(found.reasons),
        "settle": facts(found.settle),
        "cautions": facts(found.cautions),
        "stop_s": None,
        **(_evidence(found.evidence) if found.evidence else {}),
    }


def _limit(limit: StopLimit) -> dict[str, Any]:
    return {
        "basis": limit.basis,
        "limit_s": limit.limit,
        "printed": limit.printed,
        "verdict": limit.word,
        "may_pass": limit.may_pass,
        "standing": limit.standing,
        "why": facts((limit.why,))[0],
    }


def _evidence(evidence: StopEvidence) -> dict[str, Any]:
    laws = evidence.run_down.laws if evidence.run_down else ()
    return {
        "stop_s": None if evidence.value is None else round(evidence.value, 4),
        "interval_s": [round(evidence.earliest, 4), round(evidence.latest, 4)],
        "as_seen_s": None if evidence.as_seen is None else [round(end, 4) for end in evidence.as_seen],
        "how": evidence.how,
        "still_turning_s": round(evidence.still_turning, 4),
        "friction": [
            {
                "law": law.law,
                "fits": law.fits,
                "dry_rev_s2": law.dry,
                "viscous_1_s": law.viscous,
                "windage_1_rev": law.windage,
            }
            for law in laws
        ],
    }


def _text(found: StopResult) -> Iterator[str]:
    yield said(Message("terminal.blade-stop", word=term("verdict-word", found.word)))
    if found.evidence is not None:
        yield said(_seen(found.evidence))
    yield from map(said, found.reasons)
    yield from (f"-> {said(step)}" for step in found.settle)
    yield from map(said, found.cautions)


def _seen(evidence: StopEvidence) -> Message:
    t, how = evidence.value, term("stop-how", evidence.how)
    if t is None:
        return Message("terminal.still-turning", t=evidence.still_turning)
    if evidence.latest == float("inf"):
        return Message("terminal.stops-no-end", t=t, earliest=evidence.earliest, how=how)
    return Message("terminal.stops-between", t=t, earliest=evidence.earliest, latest=evidence.latest, how=how)
