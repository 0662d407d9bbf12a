"""`snath fleet`: very many machines as one table: which are shut, which ran over, which are due."""

from datetime import date
from pathlib import Path

import click

from snath.quantities.message import Message
from snath.quantities.numbers import DecimalMark
from snath.shop.answers.fleet import fleet_answer
from snath.shop.answers.fleet_words import fleet_head, fleet_lines
from snath.shop.batch.spread import Crew
from snath.shop.cli.answer import answer, answers_plainly, reader, said
from snath.shop.cli.codes import DONE, FAILED, WRONG_INPUT
from snath.shop.cli.common import book_options, one_of
from snath.shop.cli.crew import crew_options
from snath.shop.cli.progress import telling
from snath.shop.fleet.days import day_of
from snath.shop.fleet.machine import USUAL_MONTHS
from snath.shop.fleet.moved import COLUMNS as MOVED
from snath.shop.fleet.moved import NEEDED, with_moves
from snath.shop.fleet.run import work_fleet
from snath.shop.fleet.sheets import fleet_of
from snath.shop.fleet.worked import COLUMNS, Asked
from snath.shop.media.text_file import read_text
from snath.shop.tables.written import can_write, read_written, write_rows


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
@one_of("--unit", "in", "mm", told="Of a bare length.")
@click.option("--today", help="Day by which machines are due, as 2026-11-30; today where left out.")
@click.option(
    "--months",
    type=click.IntRange(1, 120),
    default=USUAL_MONTHS,
    show_default=True,
    help="From one reading to the next, where a table says nothing (common practice, no source).",
)
@book_options
@click.option(
    "--decimal-mark",
    type=click.Choice([".", ","]),
    help="As numbers are written; as the table's cells have it where left out.",
)
@answers_plainly
@crew_options
def fleet(
    sheets: tuple[Path, ...],
    out: Path | None,
    before: Path | None,
    sheet: str,
    unit: str,
    today: str | None,
    months: int,
    market: str,
    rules: str | None,
    decimal_mark: DecimalMark | None,
    as_json: bool,
    crew: Crew,
) -> None:
    """Work every machine in SHEETS: TOML files, folders with such, or tables (CSV, spreadsheet).

    Faults of a table are told cell by cell; the machines without one are worked all the same, and the exit code is
    then 2. Without --out only the counts and what stands out are told. The words are on the speed alone.
    """
    if out is not None:
        can_write(out)
    asked = Asked(
        today=day_of(today, "today") if today else date.today().isoformat(),
        rules=read_text(rules, "rules") if rules else "",
        rules_mark=decimal_mark or ".",
        market=market,
        months=months,
        reader=reader(),
    )
    _ = asked.book  # a fault of the rules is told before any machine is worked
    earlier = read_written(before, NEEDED) if before else None
    usual = reader().decimal_mark
    read = fleet_of(sheets, decimal_mark=decimal_mark, usual=usual, length=unit, sheet=sheet)
    with telling(said(Message("fleet.machines"))) as tell:
        rows = work_fleet(read.machines, asked, crew, tell=tell)
    columns = dict(COLUMNS)
    if earlier is not None:
        rows, columns = with_moves(rows, earlier), columns | MOVED
    if out is not None:
        write_rows(rows, out, columns)
    found = fleet_answer(read, rows, reader(), out=None if out is None else str(out), earlier=earlier)
    code = WRONG_INPUT if read.faults else FAILED if found.shut or found.over or found.not_worked else DONE
    lines = (fleet_head(found), *fleet_lines(read, found, rows, months, reader()))
    answer(found, "\n".join(map(said, lines)), as_json=as_json, code=code)
