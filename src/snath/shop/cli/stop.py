"""`snath stop`: judge a stop test by a track of its run-down."""

from collections.abc import Iterator
from typing import Any

import click

from snath.decisions.behaviour.from_tables import blade_shaft, stop_input
from snath.decisions.behaviour.stop import StopLimit, StopResult, devices, judge_stop
from snath.decisions.behaviour.stop_evidence import StopEvidence
from snath.decisions.behaviour.tables import StopTable
from snath.decisions.machine.sheet import read_sheet
from snath.decisions.machine.sheet_validation import entries
from snath.quantities.message import Message, term
from snath.quantities.numbers import DecimalMark
from snath.shop.cli.answer import answer, answers_plainly, fact, facts, said
from snath.shop.cli.codes import EXIT_OF
from snath.shop.cli.common import book_options, decimal_option
from snath.shop.cli.plot import plot_option, write_plot
from snath.shop.cli.typed import as_typed, options_given, options_of, track_file
from snath.shop.files.shop_rules import rule_book
from snath.shop.media.text_file import read_text
from snath.shop.pictures.track import track_picture

option = options_of(StopTable)


@click.command()
@click.argument("sheet")
@click.argument("track")
@option("--device", metavar="TEXT", help=f"How it is stopped: {', '.join(devices())}.")
@option("--at", "shaft", help="Shaft of the track; the blade's own where left out.")
@click.option("--blade", help="Which blade of the sheet; the first where left out.")
@option("--release", help='When the control was let go, on the track\'s clock, as "2.0 s".')
@option("--standstill", help="When the blade was seen to stand still.")
@option("--u-release", help="Standard uncertainty of that mark.")
@option("--u-standstill")
@option("--maker-limit", help="Stopping time in the machine's manual.")
@option("--manual", help="Which manual, edition and page.")
@book_options
@plot_option
@decimal_option
@answers_plainly
def stop(
    sheet: str,
    track: str,
    blade: str | None,
    market: str,
    rules: str | None,
    plot_file: str | None,
    decimal_mark: DecimalMark,
    as_json: bool,
    **typed: Any,
) -> None:
    """Stopping time of the blade in SHEET from TRACK (CSV of t_s, rpm, u_rpm): pass, fail or undecided."""
    machine = read_sheet(read_text(sheet, "sheet"), decimal_mark=decimal_mark)
    told = options_given({**typed, "track": track, "blade_shaft": blade_shaft(machine, blade)})
    with as_typed():
        asked = stop_input(entries(told, StopTable, decimal_mark=decimal_mark), machine, track_file)
        found = judge_stop(asked, machine, rule_book(rules, decimal_mark), market=market)
    write_plot(plot_file, lambda voice: track_picture(asked.track, voice))
    answer(_data(found), "\n".join(_text(found)), as_json=as_json, code=EXIT_OF[found.word])


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
        "why": fact(limit.why),
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
