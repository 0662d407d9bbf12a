"""Ask which sheaves and which belt from stock will do."""

from collections.abc import Iterable

from snath.decisions.drive.choose import Choices, choose
from snath.decisions.drive.confirm import RECHECK
from snath.decisions.drive.frame_sheet import read_frame
from snath.decisions.drive.search import MOST
from snath.decisions.drive.stock import Stock
from snath.face.book import Rules
from snath.face.faults import language_of, plainly, whole_of
from snath.face.files import File, is_text, name_of, text_in
from snath.face.sheet import Asked, Sheet
from snath.face.shown import Shown
from snath.face.window import asked_job
from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.quantities.numbers import DecimalMark
from snath.shop.answers.drive import drives_answer
from snath.shop.answers.drive_types import DrivesAnswer
from snath.shop.answers.drive_words import drive_lines, drives_head
from snath.shop.answers.facts import answered_as
from snath.shop.answers.heads import BENCH_CAUTION
from snath.shop.files.stock_folder import route_beside, stock_in


class Drives(Shown, DrivesAnswer):
    __doc__ = DrivesAnswer.__doc__

    _found: Choices
    _stock: Stock
    _name: str

    @property
    def working(self) -> str:
        """Every drive with its parts, ratios and limits, or what just fails, line by line."""
        found = self._found
        blocks = [
            "\n".join(drive_lines(found.problem, one, number, self._locale))
            for number, one in enumerate(found.drives, start=1)
        ]
        return "\n\n".join(blocks or self._said(one.message for one in found.misses))

    def _rows(self) -> Iterable[object]:
        return self.drives

    def _head(self) -> Iterable[Message]:
        return drives_head(self._found, self._stock)

    def _foot(self) -> Iterable[Message]:
        if not self._found.drives:
            yield Message("terminal.nothing-in-stock")
        if any(not one.original for one in self._found.drives):
            yield Message("terminal.check-again", checks=RECHECK)
        yield BENCH_CAUTION

    def _picture(self) -> str:
        from snath.shop.pictures.drive import drive_picture

        found = self._found
        if not found.drives:
            return ""
        return drive_picture(found, found.drives[0], self._voice(), name=self._name).svg


@plainly
def drive(
    machine: Asked,
    stock: File,
    *,
    route: File | None = None,
    rule: str | None = None,
    most: int = MOST,
    market: str = "",
    rules: Rules = None,
    decimal_mark: DecimalMark | None = None,
    language: str = "en",
) -> Drives:
    """Drives from stock: original parts first, then whatever no other drive beats, every tip under its limit.

    Parameters
    ----------
    machine : Sheet, str or path
        As `read_sheet` gives it, or what `read_sheet` takes.
    stock : str or path
        Folder with sheaves.csv and belts.csv (see docs/belts.md).
    route : str or path, optional
        Where the belt runs, as a file or its text; where left out, the file called as the sheet's with .route.toml,
        beside it or in routes/.
    rule : str, optional
        Id of the surface-speed row to use in place of those in scope, as `rule_book` has it.
    most : int
        Drives to look at, 1 or more.
    market : str
        Where the machine is used: "US", "US/California", "US/Washington", "CA", "EU", "UK", "AU/NZ" or
        "other"; empty takes the strictest row of any.
    rules : RuleBook, str or path, optional
        The shop's own rows, added to the book.
    decimal_mark : str, optional
        How numbers are written and answered, "." or ","; "." where left out.
    language : str
        Of the answer: "en" or "de".

    Returns
    -------
    Drives
        `.drives` with their `.sheaves`, `.belt` and `.never_above_rpm`; empty where nothing will do, then `.misses`.

    Raises
    ------
    InputError
        Naming what cannot be used, and what would do.

    See Also
    --------
    window : What the drive that is on now allows.

    References
    ----------
    docs/belts.md: lengths, ratings and fits with their standards.

    Examples
    --------
    >>> found = snath.drive("examples/belt_28_inch.toml", "examples/stock")
    >>> all(one.never_above_rpm >= found.speed_rpm for one in found.drives)
    True
    """
    _, mark, job = asked_job(machine, rule, market, rules, decimal_mark, language)
    text = text_in("route", _beside(machine) if route is None else route)
    frame, shelf = read_frame(text, decimal_mark=mark), stock_in(name_of("stock", stock), mark)
    most = whole_of("most", most, None, Message("sheet.whole-number"))
    found = choose(job, frame, shelf, most=most)
    locale = answered_as(language_of(language), asked=None if decimal_mark is None else mark)
    return Drives._made(
        drives_answer(found, shelf, locale), locale, _found=found, _stock=shelf, _name=frame.name
    )


def _beside(machine: Asked) -> str:
    """The route file of a sheet that was named by its file."""
    if isinstance(machine, Sheet) or is_text(name := name_of("machine", machine)):
        raise InputError("route", "nothing", Message("fault.needed"))
    return route_beside(name)
