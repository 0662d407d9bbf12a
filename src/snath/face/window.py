"""Ask what engine speed a machine allows, what binds, what would open it, and which readings would prove it."""

from collections.abc import Iterable

from snath.decisions.job.assemble import job_for
from snath.decisions.job.job import Job
from snath.decisions.job.opened import opened_window
from snath.decisions.job.window_of import notes_of
from snath.decisions.reading.instruments import INSTRUMENT_KINDS, Instrument
from snath.decisions.window.window import Window as CoreWindow
from snath.face.book import Rules, rows_of
from snath.face.faults import language_of, mark_of, market_of, one_of, plainly, text_of
from snath.face.sheet import Asked, sheet_of
from snath.face.windowed import Windowed
from snath.quantities.message import Message
from snath.quantities.numbers import DecimalMark
from snath.quantities.units import parse
from snath.shop.answers.facts import answered_as
from snath.shop.answers.heads import bench_caution, window_head
from snath.shop.answers.tachometer import instrument_named
from snath.shop.answers.window import asked_window
from snath.shop.answers.window_types import AskedWindow
from snath.words.render import Locale


class Window(Windowed, AskedWindow):
    __doc__ = AskedWindow.__doc__

    _found: CoreWindow

    @property
    def _window(self) -> CoreWindow:
        return self._found

    def _rows(self) -> Iterable[object]:
        return self.members

    def _head(self) -> Iterable[Message]:
        return window_head(self._found)

    def _foot(self) -> Iterable[Message]:
        return (*self._found.notes, *notes_of(self._job), bench_caution(self._job.machine))


@plainly
def window(
    machine: Asked,
    *,
    u: str | None = None,
    instrument: str | None = None,
    accuracy: str | None = None,
    rule: str | None = None,
    market: str = "",
    rules: Rules = None,
    decimal_mark: DecimalMark | None = None,
    language: str = "en",
) -> Window:
    """What engine speed a machine allows without load, and which readings would prove it.

    Parameters
    ----------
    machine : Sheet, str or path
        As `read_sheet` gives it, or what `read_sheet` takes.
    u : str, optional
        Standard uncertainty you stand for, as "10 rpm", over 0 to 6000 rpm; asked of the readings to take.
    instrument : str, optional
        Kind of tachometer: optical, contact, inductive, stroboscope, reed, recording or other.
    accuracy : str, optional
        What its plate or a check in date says, as "0.1 %", 0 to 10 %.
    rule : str, optional
        Id of the surface-speed row to use in place of those in scope, as `rule_book` has it.
    market : str
        Where the machine is used: "US", "US/California", "US/Washington", "CA", "EU", "UK", "AU/NZ" or
        "other"; empty takes the strictest row of any.
    rules : RuleBook, str or path, optional
        The shop's own rows, added to the book.
    decimal_mark : str, optional
        How numbers are written and answered, "." or ","; as the sheet is written where left out.
    language : str
        Of the answer: "en" or "de".

    Returns
    -------
    Window
        `.ceiling_rpm`, `.floor_rpm`, `.target_rpm`, `.take` and more, in rpm at the crankshaft.

    Raises
    ------
    InputError
        Naming what cannot be used, and what would do.

    See Also
    --------
    limit : The quick ask for one blade.
    judge : What readings prove of the speed.
    drive : Pulleys and belts that open a window which is shut.

    References
    ----------
    docs/window.md: how the ceiling comes about; `rule_book` has the source of each row.

    Examples
    --------
    >>> window = snath.window("examples/belt_28_inch.toml")
    >>> window.ceiling_rpm
    3239
    >>> [one.condition for one in window.take]
    ['blades in air', 'blades off']
    """
    locale, mark, job = asked_job(machine, rule, market, rules, decimal_mark, language)
    found = opened_window(job)
    stated_u = None if u is None else parse(u, dimension="rotation", field="u", decimal_mark=mark).value
    answer = asked_window(job, found, locale, named=tachometer(instrument, accuracy, mark), stated_u=stated_u)
    return Window._made(answer, locale, _job=job, _found=found)


def asked_job(
    machine: Asked,
    rule: str | None,
    market: str,
    rules: Rules,
    decimal_mark: DecimalMark | None,
    language: str,
) -> tuple[Locale, DecimalMark, Job]:
    """How the answer is read and numbers are written, and the machine's job without readings."""
    locale = language_of(language)
    mark = mark_of(decimal_mark) or "."
    sheet = sheet_of("machine", machine, mark)
    job = job_for(
        sheet.machine,
        rows_of(rules, mark),
        market=market_of(market),
        only=None if rule is None else text_of("rule", rule),
    )
    locale = answered_as(
        locale, decimal_mark=sheet.decimal_mark, metric=sheet.machine.metric, asked=decimal_mark
    )
    return locale, mark, job


def tachometer(instrument: str | None, accuracy: str | None, mark: DecimalMark) -> Instrument | None:
    """The tachometer that was named by its kind, its accuracy or both."""
    kind = None if instrument is None else one_of("instrument", instrument, list(INSTRUMENT_KINDS))
    return instrument_named(kind, accuracy, mark)
