"""Work what another program asks, by the same roads and to the same answers as the commands with `--json`."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from typing import Any

import click

from snath.decisions.job.assemble import job_for
from snath.decisions.job.job import Stage
from snath.decisions.job.stands import SPEED_ONLY
from snath.decisions.job.work import notes_of, speed_alone, work
from snath.decisions.machine.parts import CRANKSHAFT
from snath.decisions.machine.sheet import read_sheet
from snath.decisions.quick import quick_limit
from snath.quantities.errors import InputError, within
from snath.quantities.message import Message
from snath.quantities.units import parse, parse_quantity
from snath.rules.book import Rule
from snath.shop.cli.answer import facts, without_nan
from snath.shop.cli.common import instrument_named
from snath.shop.cli.judge import readings_taken, verdict_data
from snath.shop.cli.limit import limit_data
from snath.shop.cli.spoken_reading import spoken
from snath.shop.cli.take import take_data
from snath.shop.cli.window import window_data
from snath.shop.site.api.schemas import Ask, Asking, JudgeAsked, WindowAsked

MOST_READINGS = 100
Book = tuple[Rule, ...]


@contextmanager
def in_english() -> Iterator[None]:
    """Say facts as a command does whose language nobody set."""
    with click.Context(click.Command("api")):
        yield


def ask(asked: Ask, book: Book) -> dict[str, Any]:
    """The ceiling of one blade."""
    typed = parse_quantity(asked.blade, dimension="length", field="blade", decimal_mark=asked.decimal_mark)
    within("blade", typed.measured.value, 0.05, 5, "m")
    if typed.half_width >= typed.measured.value:
        raise InputError("blade", asked.blade, Message("sheet.doubt-too-wide"))
    found = quick_limit(
        typed.measured,
        book,
        market=asked.market,
        only=asked.rule,
        decimal_mark=asked.decimal_mark,
        metric=typed.unit not in ("in", "ft"),
    )
    return limit_data(found, typed.measured)


def window(asked: WindowAsked, book: Book) -> dict[str, Any]:
    """What a machine allows."""
    machine = read_sheet(asked.sheet, decimal_mark=asked.decimal_mark)
    job = job_for(machine, book, market=asked.market, only=asked.rule)
    data = {**window_data(work(job)), "chosen_rule": job.only_rule or None}
    return data | take_data(job, named=None, stated_u=None)


def judge(asked: JudgeAsked, book: Book) -> dict[str, Any]:
    """What readings of a machine say of its speed alone; whether it was checked is asked of a job."""
    if not 1 <= len(asked.readings) <= MOST_READINGS:
        raise InputError("readings", len(asked.readings), f"must be 1 to {MOST_READINGS}")
    mark = asked.decimal_mark
    machine = read_sheet(asked.sheet, decimal_mark=mark)
    typed = [
        spoken(text, machine, shaft=CRANKSHAFT, condition="blades in air", decimal_mark=mark)
        for text in asked.readings
    ]
    u = parse(asked.u, dimension="rotation", field="u", decimal_mark=mark).value if asked.u else None
    known = instrument_named(asked.instrument, asked.accuracy, mark)
    taken = readings_taken(machine, typed, known, stated_u=u, hunting=None)
    job = job_for(machine, book, market=asked.market, only=asked.rule)
    verdict = speed_alone(replace(job, as_found=Stage(taken), instruments=(known,) if known else ()))
    assert verdict is not None
    return {
        **verdict_data(verdict),
        "speaks_of": "speed alone",
        "chosen_rule": job.only_rule or None,
        "notes": facts((*notes_of(job), SPEED_ONLY)),
    }


WORKS: dict[str, tuple[type[Asking], Callable[[Any, Book], dict[str, Any]]]] = {
    "ask": (Ask, ask),
    "window": (WindowAsked, window),
    "judge": (JudgeAsked, judge),
}


def worked(name: str, asked: Asking, book: Book) -> dict[str, Any]:
    """The answer of one of them, ready for JSON."""
    with in_english():
        answer: dict[str, Any] = without_nan(WORKS[name][1](asked, book))
    return answer
