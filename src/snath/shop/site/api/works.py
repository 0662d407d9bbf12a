"""Work what another program asks, by the same roads and to the same answers as the commands with `--json`."""

from snath.decisions.job.assemble import job_for
from snath.decisions.job.opened import opened_window
from snath.quantities.numbers import DecimalMark
from snath.shop.answers.facts import answered_as
from snath.shop.answers.limit import LimitAnswer, ask_limit, asked_blade, limit_answer
from snath.shop.answers.tachometer import tachometer
from snath.shop.answers.verdict import ask_verdict, asked_verdict
from snath.shop.answers.verdict_types import AskedVerdict
from snath.shop.answers.window import asked_window
from snath.shop.answers.window_types import AskedWindow
from snath.shop.bench.rulebook import shop_book
from snath.shop.files.sheet_text import sheet_in
from snath.shop.site.api.asker import Asker
from snath.shop.site.api.schemas import Ask, Asking, JudgeAsked, WindowAsked
from snath.words.render import ENGLISH, Locale


def ask(asker: Asker, asked: Ask) -> LimitAnswer:
    """The ceiling of one blade."""
    del asker
    blade = asked_blade(asked.blade, asked.width, asked.decimal_mark)
    found = ask_limit(
        blade,
        shop_book(),
        ratio=asked.ratio,
        market=asked.market,
        rule=asked.rule,
    )
    return limit_answer(found, blade.tips, _reader(asked, asked.decimal_mark, blade.metric))


def window(asker: Asker, asked: WindowAsked) -> AskedWindow:
    """What a machine allows."""
    del asker
    machine, mark = sheet_in(asked.sheet, asked.decimal_mark)
    job = job_for(machine, shop_book(), market=asked.market, only=asked.rule)
    return asked_window(job, opened_window(job), _reader(asked, mark, machine.metric))


def judge(asker: Asker, asked: JudgeAsked) -> AskedVerdict:
    """What readings of a machine say of its speed alone; whether it was checked is asked of a job."""
    del asker
    machine, mark = sheet_in(asked.sheet, asked.decimal_mark)
    found = ask_verdict(
        job_for(machine, shop_book(), market=asked.market, only=asked.rule),
        asked.readings,
        instrument=tachometer(asked.instrument, asked.accuracy, asked.decimal_mark),
        u=asked.u,
        decimal_mark=asked.decimal_mark,
    )
    return asked_verdict(found, _reader(asked, mark, machine.metric))


def _reader(asked: Asking, mark: DecimalMark, metric: bool) -> Locale:
    """Numbers as the sheet has them, unless a mark was asked for: as of the commands."""
    wished = asked.decimal_mark if "decimal_mark" in asked.model_fields_set else None
    return answered_as(ENGLISH, decimal_mark=mark, metric=metric, asked=wished)
