"""Work very many machines as one table: which are shut, which ran over, which are due."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from html import escape
from pathlib import Path
from typing import Any

from snath.face.book import Rules, own_rows
from snath.face.faults import language_of, mark_of, market_of, one_by_one, one_of, plainly, text_of, whole_of
from snath.face.files import File, is_text, name_of
from snath.face.sheet import Sheet, sheet_of
from snath.face.shown import Shown, html_table
from snath.quantities.message import Message
from snath.quantities.numbers import DecimalMark
from snath.shop.answers.facts import answered_as, as_data
from snath.shop.answers.fleet import FleetAnswer, fleet_answer
from snath.shop.answers.fleet_words import fleet_head, fleet_lines
from snath.shop.batch.spread import Crew
from snath.shop.fleet.days import day_of
from snath.shop.fleet.faults import Fleet as Read
from snath.shop.fleet.machine import USUAL_MONTHS, FleetMachine
from snath.shop.fleet.moved import NEEDED, with_moves
from snath.shop.fleet.rows import read_fleet
from snath.shop.fleet.run import work_fleet
from snath.shop.fleet.sheets import fleet_of
from snath.shop.fleet.worked import Asked, Row
from snath.shop.tables.cells import Cells, as_typed
from snath.shop.tables.written import read_written

Machines = Sheet | File | Iterable[Any]
SHOWN = ("number", "machine", "serial", "ceiling_rpm", "reading_rpm", "speed_alone", "due_on", "error")


class Fleet(Shown, FleetAnswer):
    __doc__ = FleetAnswer.__doc__

    _read: Read
    _worked: list[Row]
    _months: int

    @property
    def working(self) -> str:
        """Which machines stand out, what moved, and what was not read, line by line."""
        return "\n".join(self._said(fleet_lines(self._read, self, self._worked, self._months, self._locale)))

    def _rows(self) -> Iterable[object]:
        return self.rows or ()

    def _head(self) -> Iterable[Message]:
        return (fleet_head(self),)

    def _picture(self) -> str:
        rows = ([escape(as_typed(row[name], ".")) for name in SHOWN] for row in self._worked)
        return html_table(SHOWN, rows)


@plainly
def fleet(
    machines: Machines,
    *,
    before: Fleet | File | None = None,
    sheet: str = "",
    unit: str = "in",
    today: str | date | None = None,
    months: int = USUAL_MONTHS,
    workers: int = 1,
    market: str = "",
    rules: Rules = None,
    decimal_mark: DecimalMark | None = None,
    language: str = "en",
) -> Fleet:
    """Very many machines as one table: which are shut, which ran over by their last reading, which are due.

    Parameters
    ----------
    machines : str, path, Sheet, table, or iterable of those
        Files: machine sheets (TOML), folders with such, CSV or spreadsheets with a machine a row (see docs/fleet.md);
        sheets as `read_sheet` gives them; or a table of pandas or polars, or rows as mappings, by the same headings.
    before : Fleet, str or path, optional
        An earlier answer, or a table `snath fleet` wrote: tells what moved since.
    sheet : str
        Which sheet of a spreadsheet; the first where left out.
    unit : str
        Of a bare length in a table: "in" or "mm".
    today : str or date, optional
        Day by which machines are due, as "2026-11-30"; today where left out.
    months : int
        From one reading to the next where a table says nothing, 1 to 120 (common practice, no source).
    workers : int
        Processes at once, 1 to 1000.
    market : str
        Where the machines are used, as `limit` takes it; empty takes the strictest row of any.
    rules : RuleBook, str or path, optional
        The shop's own rows, added to the book.
    decimal_mark : str, optional
        How numbers are written and answered, "." or ","; as the table's cells have it where left out.
    language : str
        Of the answer: "en" or "de".

    Returns
    -------
    Fleet
        `.rows`, a row a machine with `.ceiling_rpm`, `.over`, `.speed_alone` and `.due_on`; `.faults` cell by cell.

    Raises
    ------
    InputError
        Naming what cannot be used as a whole; what is wrong in one cell is among the faults.

    See Also
    --------
    window : What one machine allows, with its arithmetic.
    judge : What the readings of one machine prove.

    References
    ----------
    docs/fleet.md: how each column comes about.

    Examples
    --------
    >>> found = snath.fleet("examples", today="2026-11-30")
    >>> [(row.machine, row.ceiling_rpm) for row in found.rows][0]
    ('28 in single-spindle rider', 3239)
    """
    mark = mark_of(decimal_mark)
    locale = answered_as(language_of(language), asked=mark)
    text, rules_mark = own_rows(rules, mark or ".")
    asked = Asked(
        today=_day(today),
        rules=text,
        rules_mark=rules_mark,
        market=market_of(market),
        months=whole_of("months", months, 120, Message("fleet.months")),
        reader=locale,
    )
    chosen = text_of("sheet", sheet)
    _ = asked.book  # a fault of the rules is told before any machine is worked
    earlier = _earlier(before)
    length, usual = one_of("unit", unit, ("in", "mm")), mark or locale.decimal_mark
    crew = Crew(workers=whole_of("workers", workers, 1000, Message("batch.one-worker")))
    if (cells := _table(machines, usual)) is not None:
        read = read_fleet(cells, decimal_mark=usual, length=length)
    else:
        read = fleet_of(_places(machines, mark), decimal_mark=mark, usual=usual, length=length, sheet=chosen)
    rows = work_fleet(read.machines, asked, crew)
    if earlier is not None:
        rows = with_moves(rows, earlier)
    answer = fleet_answer(read, rows, locale, earlier=earlier)
    return Fleet._made(answer, locale, _read=read, _worked=rows, _months=asked.months)


def _places(given: Any, mark: DecimalMark | None) -> list[Path | FleetMachine]:
    """Files by their names, and machines by their sheets."""
    alone = isinstance(given, Sheet | str | bytes) or not isinstance(given, Iterable)
    several = (given,) if alone else one_by_one("machines", given)
    found: list[Path | FleetMachine] = []
    for number, each in enumerate(several, start=1):
        if not isinstance(each, Sheet) and not is_text(name := name_of("machines", each)):
            found.append(Path(name))
            continue
        known = sheet_of("machines", each, mark or ".")
        found.append(FleetMachine(f"machines[{number}]", known.text, mark=known.decimal_mark))
    return found


def _table(given: Any, mark: DecimalMark) -> Cells | None:
    """The cells of a table of pandas or polars, or of rows that are mappings; None where it is neither."""
    if hasattr(given, "columns") and hasattr(given, "itertuples"):
        head, lines = [str(name) for name in given.columns], given.itertuples(index=False)
    elif hasattr(given, "columns") and hasattr(given, "iter_rows"):
        head, lines = [str(name) for name in given.columns], given.iter_rows()
    elif isinstance(given, Sequence) and given and all(isinstance(row, Mapping) for row in given):
        names = list(dict.fromkeys(name for row in given for name in row))
        head, lines = [str(name) for name in names], ([row.get(name) for name in names] for row in given)
    else:
        return None
    rows = [tuple(as_typed(value, mark).strip() for value in line) for line in lines]
    filled = [(number, row) for number, row in enumerate(rows, start=2) if any(row)]
    return Cells(tuple(head), tuple(row for _, row in filled), tuple(number for number, _ in filled))


def _earlier(given: Any) -> list[dict[str, Any]] | None:
    if isinstance(given, Fleet):
        return [as_data(row) for row in given.rows or ()]
    return None if given is None else read_written(Path(name_of("before", given)), NEEDED)


def _day(given: Any) -> str:
    if given is None or isinstance(given, date):
        return (given or date.today()).isoformat()[:10]
    return day_of(text_of("today", given), "today")
