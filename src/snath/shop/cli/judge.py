"""`snath judge`: judge a typed reading."""

from typing import get_args

import click

from snath.decisions.job.assemble import job_for
from snath.decisions.machine.parts import CRANKSHAFT, Condition
from snath.decisions.window.solve import USUAL_DECISION, DecisionRule
from snath.quantities.numbers import DecimalMark
from snath.shop.answers.heads import running_caution
from snath.shop.answers.tachometer import instrument_named
from snath.shop.answers.verdict import ask_verdict, asked_verdict
from snath.shop.cli.answer import answer, answers_plainly, reader, said
from snath.shop.cli.codes import EXIT_OF
from snath.shop.cli.common import book_options, decimal_option
from snath.shop.cli.reading_options import accuracy_option, condition_option, instrument_option, u_option
from snath.shop.cli.sheet import machine_of
from snath.shop.cli.words import verdict_text
from snath.shop.files.shop_rules import rule_book


@click.command()
@click.argument("sheet")
@click.option(
    "--reading",
    "readings",
    multiple=True,
    required=True,
    help='As "3290 rpm", "no load: 3290 rpm" or "blades in air at spindle: 2900 rpm"; as often as it was read.',
)
@instrument_option
@accuracy_option
@u_option
@click.option("--at", "shaft", default=CRANKSHAFT, show_default=True, help="Shaft it was read at.")
@condition_option
@click.option("--hunting", help='Half the swing of a hunting engine, as "40 rpm".')
@click.option(
    "--decision", type=click.Choice(get_args(DecisionRule)), default=USUAL_DECISION, show_default=True
)
@click.option(
    "--rule",
    "rule_id",
    help="Id of the surface-speed row to use in place of those in scope; it must speak of the machine.",
)
@book_options
@decimal_option
@answers_plainly
def judge(
    sheet: str,
    readings: tuple[str, ...],
    instrument: str | None,
    accuracy: str | None,
    stated_u: str | None,
    shaft: str,
    condition: Condition,
    hunting: str | None,
    decision: DecisionRule,
    rule_id: str | None,
    market: str,
    rules: str | None,
    decimal_mark: DecimalMark,
    as_json: bool,
) -> None:
    """Verdict on the readings of one setting of the machine in SHEET: pass, fail or undecided.

    It speaks of the speed alone. Whether the machine itself was checked before it ran is asked of a job.
    """

    machine = machine_of(sheet, decimal_mark)
    found = ask_verdict(
        job_for(machine, rule_book(rules, decimal_mark), market=market, only=rule_id),
        readings,
        instrument=instrument_named(instrument, accuracy, decimal_mark),
        u=stated_u,
        shaft=shaft,
        condition=condition,
        hunting=hunting,
        decision=decision,
        decimal_mark=decimal_mark,
    )
    text = "\n".join(
        [verdict_text(found.verdict), said(running_caution(machine)), "", *map(said, found.notes)]
    )
    code = EXIT_OF[found.verdict.word]
    answer(lambda: asked_verdict(found, reader()), text, as_json=as_json, code=code)
