"""Ask for the ceiling of one blade."""

from collections.abc import Iterable

from snath.decisions.job.assemble import job_for
from snath.decisions.quick import QuickAnswer
from snath.decisions.window.window import Window
from snath.face.book import Rules, rows_of
from snath.face.faults import language_of, mark_of, market_of, plainly, text_of
from snath.face.windowed import Windowed
from snath.quantities.message import Message
from snath.quantities.numbers import DecimalMark
from snath.shop.answers.facts import answered_as
from snath.shop.answers.heads import BENCH_CAUTION, limit_head
from snath.shop.answers.limit import LimitAnswer, ask_limit, asked_blade, limit_answer


class Limit(Windowed, LimitAnswer):
    __doc__ = LimitAnswer.__doc__

    _found: QuickAnswer

    @property
    def _window(self) -> Window:
        return self._found.window

    @property
    def working(self) -> str:
        """The arithmetic, line by line."""
        return "\n".join(self.steps)

    def _head(self) -> Iterable[Message]:
        return (limit_head(self._found.window),)

    def _foot(self) -> Iterable[Message]:
        return (*self._found.notes, BENCH_CAUTION)


@plainly
def limit(
    blade: str,
    *,
    width: str | None = None,
    ratio: float | None = None,
    rule: str | None = None,
    market: str = "",
    rules: Rules = None,
    decimal_mark: DecimalMark | None = None,
    language: str = "en",
) -> Limit:
    """The ceiling on engine speed for one blade.

    Parameters
    ----------
    blade : str
        Its length from corner to corner, as "22 in" or "558 mm", 50 mm to 5 m.
    width : str, optional
        Its width, as "3 in", 0 to its length, for a square-ended bar, whose corners run on a larger circle.
    ratio : float, optional
        Blade turns for one engine turn, 0.05 to 20; direct drive where left out.
    rule : str, optional
        Id of the surface-speed row to use in place of those in scope, as `rule_book` has it.
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
    Limit
        `.rpm` in whole rpm, rounded down.

    Raises
    ------
    InputError
        Naming what cannot be used, and what would do.

    See Also
    --------
    window : Ask it of a whole machine, with its drive and every part that has a limit.

    References
    ----------
    docs/window.md: how a tip speed becomes a ceiling; `rule_book` has the source of the row that was used.

    Examples
    --------
    >>> snath.limit("22 in").rpm
    3298
    """
    locale = language_of(language)
    mark = mark_of(decimal_mark) or "."
    asked = asked_blade(blade, width, mark)
    book, where, only = (
        rows_of(rules, mark),
        market_of(market),
        None if rule is None else text_of("rule", rule),
    )
    found = ask_limit(asked, book, ratio=ratio, market=where, rule=only)
    job = job_for(found.machine, book, market=where, only=only)
    locale = answered_as(locale, decimal_mark=mark, metric=asked.metric, asked=decimal_mark)
    return Limit._made(limit_answer(found, asked.tips, locale), locale, _job=job, _found=found)
