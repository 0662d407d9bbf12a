"""`snath fleet`: very many machines as one table: which are shut, which ran over, which are due."""

import os
from collections.abc import Sequence
from dataclasses import asdict
from datetime import date
from pathlib import Path
from typing import Any, get_args

import click

from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.quantities.numbers import DecimalMark
from snath.shop.answers.facts import fault_data as told_fault
from snath.shop.batch.spread import Where
from snath.shop.cli.answer import answer, facts, json_option, reader, speaks_plainly
from snath.shop.cli.codes import DONE, FAILED, WRONG_INPUT
from snath.shop.cli.common import market_option, rules_option
from snath.shop.cli.progress import telling
from snath.shop.fleet.machine import USUAL_MONTHS
from snath.shop.fleet.moved import COLUMNS as MOVED
from snath.shop.fleet.moved import NEEDED, gone, with_moves
from snath.shop.fleet.rows import CellFault, Fleet, day_of
from snath.shop.fleet.run import Counted, counted, work_fleet
from snath.shop.fleet.sheets import fleet_of
from snath.shop.fleet.worked import COLUMNS, Asked, Row
from snath.shop.media.text_file import read_text
from snath.shop.tables.written import can_write, read_written, write_rows
from snath.words.render import say

SHOWN = 20
KINDS = {
    "lower": Message("fleet.lower"),
    "higher": Message("fleet.higher"),
    "shut": Message("fleet.shut"),
    "opened": Message("fleet.opened"),
    "word": Message("fleet.word"),
    "new": Message("fleet.new"),
}


@click.command()
@click.argument("sheets", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option(
    "--out", type=click.Path(path_type=Path), help="Table to write: .csv, .xlsx, .parquet or .json."
)
@click.option(
    "--before",
    type=click.Path(path_type=Path),
    help="A table this command wrote earlier: tells what moved since, by a new rule, a new book or new sheets.",
)
@click.option("--sheet", default="", help="Which sheet of a spreadsheet; the first where left out.")
@click.option(
    "--unit", type=click.Choice(["in", "mm"]), default="in", show_default=True, help="Of a bare length."
)
@click.option("--today", help="Day by which machines are due, as 2026-11-30; today where left out.")
@click.option(
    "--months",
    type=click.IntRange(1, 120),
    default=USUAL_MONTHS,
    show_default=True,
    help="From one reading to the next, where a table says nothing (common practice, no source).",
)
@click.option(
    "--on",
    type=click.Choice(get_args(Where)),
    default="here",
    show_default=True,
    help="Processes of this machine, or a dask cluster.",
)
@click.option(
    "--workers", type=int, help="Processes at once; as many as there are processors where left out."
)
@click.option("--scheduler", help="Address of a running dask scheduler, with --on dask.")
@market_option
@rules_option
@click.option(
    "--decimal-mark",
    type=click.Choice([".", ","]),
    help="As numbers are written; as the table's cells have it where left out.",
)
@json_option
@speaks_plainly
def fleet(
    sheets: tuple[Path, ...],
    out: Path | None,
    before: Path | None,
    sheet: str,
    unit: str,
    today: str | None,
    months: int,
    on: Where,
    workers: int | None,
    scheduler: str | None,
    market: str,
    rules: str | None,
    decimal_mark: DecimalMark | None,
    as_json: bool,
) -> None:
    """Work every machine in SHEETS: TOML files, folders with such, or tables (CSV, spreadsheet).

    Faults of a table are told cell by cell; the machines without one are worked all the same, and the exit code is
    then 2. Without --out only the counts and what stands out are told. The words are on the speed alone.
    """
    if workers is not None and workers < 1:
        raise InputError("workers", workers, "must be at least 1")
    if out is not None:
        can_write(out)
    asked = Asked(
        today=day_of(today, "today") if today else date.today().isoformat(),
        rules=read_text(rules, "rules") if rules else "",
        rules_mark=decimal_mark or ".",
        market=market,
        months=months,
    )
    _ = asked.book  # a fault of the rules is told before any machine is worked
    earlier = read_written(before, NEEDED) if before else None
    read = fleet_of(sheets, decimal_mark=decimal_mark, length=unit, sheet=sheet)
    with telling("machines") as tell:
        rows = work_fleet(
            read.machines,
            asked,
            on=on,
            workers=workers or os.cpu_count() or 1,
            scheduler=scheduler,
            tell=tell,
        )
    columns = dict(COLUMNS)
    if earlier is not None:
        rows, columns = with_moves(rows, earlier), columns | MOVED
    if out is not None:
        write_rows(rows, out, columns)
    found = counted(rows)
    data = _data(read, found, rows if out is None else None, out)
    if earlier is not None:
        data["moved"] = _moved(rows, earlier)
    code = WRONG_INPUT if read.faults else FAILED if found.shut or found.over or found.not_worked else DONE
    answer(data, "\n".join(_lines(read, found, rows, data, out, months)), as_json=as_json, code=code)


def fault_data(fault: CellFault) -> dict[str, Any]:
    """One fault as JSON has it."""
    place = {
        "sheet": fault.sheet,
        "row": fault.line,
        "column": fault.column or None,
        "heading": fault.heading or None,
    }
    return {**place, **told_fault(fault.fault, reader())}


def _data(read: Fleet, found: Counted, rows: Sequence[Row] | None, out: Path | None) -> dict[str, Any]:
    data: dict[str, Any] = {
        **asdict(found),
        "faults": [fault_data(one) for one in read.faults],
        "not_read": list(read.not_read),
        "skipped": list(read.skipped),
        "notes": facts([Message("fleet.alone")]),
        "out": None if out is None else str(out),
    }
    return data if rows is None else data | {"rows": list(rows)}


def _moved(rows: Sequence[Row], earlier: Sequence[Any]) -> dict[str, int]:
    words = [word for row in rows for word in row["moved"].split(", ") if word]
    return {**{kind: words.count(kind) for kind in KINDS}, "gone": len(gone(rows, earlier))}


def _lines(
    read: Fleet, found: Counted, rows: Sequence[Row], data: dict[str, Any], out: Path | None, months: int
) -> list[str]:
    told: list[Message | str] = [
        Message(
            "fleet.counts",
            machines=found.machines,
            shut=found.shut,
            over=found.over,
            due=found.due,
            failed=found.not_worked,
        )
    ]
    told += _some([Message("fleet.is-shut", **_of(row)) for row in rows if row["shut"]])
    told += _some([Message("fleet.ran-over", **_of(row)) for row in rows if row["over"]])
    told += _some([Message("fleet.not-worked", **_of(row)) for row in rows if row["error"]])
    if "moved" in data:
        told.append(Message("fleet.moved", **data["moved"]))
        told += _some(
            [
                Message(
                    "fleet.moved-row",
                    moved=row["moved"],
                    **_of(row),
                    before=_figure(row["ceiling_before_rpm"]),
                )
                for row in rows
                if row["moved"] not in ("", "new")
            ]
        )
    if read.faults:
        told.append(Message("fleet.faults", count=len(read.faults)))
        told += _some([fault.message for fault in read.faults])
    told += [Message("fleet.not-read", heading=head) for head in read.not_read]
    if read.skipped:
        told.append(Message("fleet.skipped", count=len(read.skipped), first=read.skipped[0]))
    told += [Message("fleet.alone"), Message("fleet.due-rule", months=months)]
    if out is not None:
        told.append(Message("fleet.written", out=str(out)))
    return [say(one, reader()) for one in told]


def _moves(row: Row) -> tuple[Message, ...]:
    return tuple(KINDS[word] for word in row["moved"].split(", "))


def _some(lines: list[Message]) -> list[Message | str]:
    more: list[Message | str] = (
        [Message("fleet.more", count=len(lines) - SHOWN)] if len(lines) > SHOWN else []
    )
    return [*lines[:SHOWN], *more]


def _of(row: Row) -> dict[str, str]:
    name = " ".join(part for part in (row["number"], row["machine"], row["serial"]) if part)
    return {
        "name": name or row["place"],
        "ceiling": _figure(row["ceiling_rpm"]),
        "reading": _figure(row["reading_rpm"]),
        "why": (row["error"] or row["why"] or "").partition("\n")[0],
    }


def _figure(rpm: float | None) -> str:
    return "-" if rpm is None else f"{rpm:.0f} rpm"
