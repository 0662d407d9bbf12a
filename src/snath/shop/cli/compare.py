"""`snath compare`: keep a recording beside a tachometer reading, so that the shop learns how far it agrees."""

import time
from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Any

import click

from snath.decisions.machine.sheet import read_sheet
from snath.decisions.reading.compared import ENOUGH, Checked, Comparison, checked
from snath.decisions.reading.typed import typed_reading
from snath.quantities.errors import InputError
from snath.quantities.message import Amount, Message, term
from snath.quantities.numbers import DecimalMark
from snath.quantities.units import parse
from snath.shop.answers.recording import per_turn_of
from snath.shop.cli.answer import answer, answers_plainly, said
from snath.shop.cli.codes import DONE, FAILED, UNDECIDED
from snath.shop.cli.common import decimal_option
from snath.shop.media.comparisons import keep_comparison, kept_comparisons
from snath.shop.media.recording import read_recording
from snath.shop.media.request import ReadRequest, ReadResult
from snath.shop.media.text_file import read_text
from snath.shop.site.data_folder import data_folder

NOTHING_HELD = "Undecided, because several speeds are held: compare one stretch, by --from and --to."
LEAST_U = 0.0003  # share a tachometer of unknown accuracy is taken to be good for; common practice, no source


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option(
    "--tachometer", "readings", multiple=True, required=True, help='As "3290 rpm"; several times is better.'
)
@click.option("--u", "stated_u", help='Standard uncertainty of the tachometer, as "2 rpm".')
@click.option("--instrument", default="", help="Which tachometer.")
@click.option("--phone", default="", help="Which phone or pick-up recorded it.")
@click.option("--sheet", help="Machine sheet, as for `snath read`.")
@click.option("--per-turn", help="Pulses in a turn, as for `snath read`.")
@click.option(
    "--from", "begin", type=float, help="Second of the recording at which the stretch compared begins."
)
@click.option("--to", "end", type=float, help="Second of the recording at which it ends.")
@click.option(
    "--data", type=click.Path(path_type=Path), help="Data folder, instead of the platform's own place."
)
@decimal_option
@answers_plainly
def compare(
    file: Path,
    readings: tuple[str, ...],
    stated_u: str | None,
    instrument: str,
    phone: str,
    sheet: str | None,
    per_turn: str | None,
    begin: float | None,
    end: float | None,
    data: Path | None,
    decimal_mark: DecimalMark,
    as_json: bool,
) -> None:
    """Store FILE beside a tachometer reading of the crankshaft taken at the same time.

    Exit code 1 where they contradict each other, 3 where the recording is undecided and nothing is stored.
    """
    machine = read_sheet(read_text(sheet, "sheet"), decimal_mark=decimal_mark) if sheet else None
    asked = ReadRequest(machine=machine, per_turn=per_turn_of(per_turn), begin_s=begin, end_s=end)
    found = read_recording(file, asked)
    folder = data_folder(data).path
    if not found.reading.decided:
        check = checked(kept_comparisons(folder), found.reading.method, recorder=phone)
        answer(
            _data(found, None, check),
            NOTHING_HELD if found.reading.several_held else "Undecided: nothing to compare. Give --sheet.",
            as_json=as_json,
            code=UNDECIDED,
        )
    if any(known.evidence == found.reading.evidence for known in kept_comparisons(folder)):
        raise InputError("recording", file.name, Message("records.compared"))
    one = replace(_comparison(found, readings, stated_u, instrument, decimal_mark), recorder=phone)
    keep_comparison(folder, one)
    check = checked(kept_comparisons(folder), one.method, recorder=phone)
    far = abs(one.off) > 0.01
    answer(_data(found, one, check), _text(one, check), as_json=as_json, code=FAILED if far else DONE)


def _comparison(
    found: ReadResult, readings: tuple[str, ...], stated_u: str | None, instrument: str, mark: DecimalMark
) -> Comparison:
    def speed(text: str, field: str) -> float:
        return parse(text, dimension="rotation", field=field, decimal_mark=mark).value

    typed = typed_reading([speed(text, "tachometer") for text in readings])
    value, recorded = typed.value, found.reading.value
    assert value is not None
    assert recorded is not None
    u = speed(stated_u, "u") if stated_u else max(value.u, LEAST_U * value.value)
    if u <= 0:
        raise InputError("u", stated_u, "must be over 0")
    now = datetime.fromtimestamp(time.time()).astimezone().isoformat(timespec="seconds")
    return Comparison(
        method=found.reading.method,
        recorded=recorded.value,
        u_recorded=recorded.u,
        tachometer=value.value,
        u_tachometer=u,
        instrument=instrument,
        at=now,
        evidence=found.reading.evidence,
    )


def _data(found: ReadResult, one: Comparison | None, check: Checked) -> dict[str, Any]:
    return {
        "stored": one is not None,
        "method": found.reading.method,
        "recorded_rpm": None if one is None else round(one.recorded * 60, 3),
        "tachometer_rpm": None if one is None else round(one.tachometer * 60, 3),
        "off_percent": None if one is None else round(one.off * 100, 4),
        "comparisons": check.count,
        "checked": check.agrees,
        "contradicted": check.contradicts,
        "mean_off_percent": round(check.mean_off * 100, 4),
        "u_bias_percent": round(check.bias * 100, 4),
        "u_spread_percent": round(check.spread * 100, 4),
    }


def _text(one: Comparison, check: Checked) -> str:
    return "\n".join(said(line) for line in _lines(one, check))


def _lines(one: Comparison, check: Checked) -> Iterator[Message]:
    method = term("method", one.method)
    yield Message(
        "terminal.compared",
        recorded=Amount(one.recorded, "rotation"),
        method=method,
        tachometer=Amount(one.tachometer, "rotation"),
        off=Amount(one.off, "share"),
    )
    if check.contradicts:
        yield Message("terminal.compared-contradict")
    elif check.agrees:
        yield Message("terminal.compared-agree", count=check.count, method=method)
    else:
        yield Message("terminal.compared-so-far", count=check.count, enough=ENOUGH)
    if check.bias or check.spread:
        bias, spread = Amount(check.bias, "share"), Amount(check.spread, "share")
        yield Message("terminal.compared-adds", bias=bias, spread=spread)
