"""Work what another program asks, by the same roads and to the same answers as the commands with `--json`."""

from collections.abc import Callable
from typing import Any

from snath.decisions.job.assemble import job_for
from snath.decisions.job.work import work
from snath.decisions.machine.sheet import read_sheet
from snath.quantities.errors import InputError
from snath.quantities.numbers import DecimalMark
from snath.rules.book import Rule
from snath.shop.answers.facts import answered_as, as_data
from snath.shop.answers.limit import ask_limit, asked_blade, limit_answer
from snath.shop.answers.tachometer import tachometer
from snath.shop.answers.verdict import ask_verdict, asked_verdict
from snath.shop.answers.window import asked_window
from snath.shop.site.api.schemas import Ask, Asking, JudgeAsked, WindowAsked
from snath.words.render import ENGLISH, Locale

MOST_READINGS = 100
Book = tuple[Rule, ...]


def ask(asked: Ask, book: Book) -> Any:
    """The ceiling of one blade."""
    blade = asked_blade(asked.blade, asked.width, asked.decimal_mark)
    found = ask_limit(
        blade,
        book,
        ratio=asked.ratio,
        market=asked.market,
        rule=asked.rule,
        decimal_mark=asked.decimal_mark,
    )
    return limit_answer(found, blade.tips, _reader(asked.decimal_mark, blade.metric))


def window(asked: WindowAsked, book: Book) -> Any:
    """What a machine allows."""
    machine = read_sheet(asked.sheet, decimal_mark=asked.decimal_mark)
    job = job_for(machine, book, market=asked.market, only=asked.rule)
    return asked_window(job, work(job), _reader(asked.decimal_mark, machine.metric))


def judge(asked: JudgeAsked, book: Book) -> Any:
    """What readings of a machine say of its speed alone; whether it was checked is asked of a job."""
    if not 1 <= len(asked.readings) <= MOST_READINGS:
        raise InputError("readings", len(asked.readings), f"must be 1 to {MOST_READINGS}")
    machine = read_sheet(asked.sheet, decimal_mark=asked.decimal_mark)
    found = ask_verdict(
        job_for(machine, book, market=asked.market, only=asked.rule),
        asked.readings,
        instrument=tachometer(asked.instrument, asked.accuracy, asked.decimal_mark),
        u=asked.u,
        decimal_mark=asked.decimal_mark,
    )
    return asked_verdict(found, _reader(asked.decimal_mark, machine.metric))


def _reader(mark: DecimalMark, metric: bool) -> Locale:
    return answered_as(ENGLISH, decimal_mark=mark, metric=metric)


WORKS: dict[str, tuple[type[Asking], Callable[[Any, Book], Any]]] = {
    "ask": (Ask, ask),
    "window": (WindowAsked, window),
    "judge": (JudgeAsked, judge),
}


def worked(name: str, asked: Asking, book: Book) -> dict[str, Any]:
    """The answer of one of them, ready for JSON."""
    answer: dict[str, Any] = as_data(WORKS[name][1](asked, book))
    return answer
