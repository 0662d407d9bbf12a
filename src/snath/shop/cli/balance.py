"""`snath balance`: what a missing bit of blade pulls with, and what to grind off."""

from collections.abc import Iterator
from dataclasses import asdict
from typing import Any

import click

from snath.decisions.behaviour.balance import BalanceResult, judge_balance
from snath.decisions.behaviour.from_tables import balance_input
from snath.decisions.behaviour.tables import BalanceTable
from snath.decisions.machine.sheet_validation import entries
from snath.quantities.message import Amount, Message
from snath.quantities.numbers import DecimalMark
from snath.shop.cli.answer import answer, answers_plainly, said
from snath.shop.cli.common import decimal_option
from snath.shop.cli.typed import as_typed, options_given, options_of

option = options_of(BalanceTable)


@click.command()
@option("--blade-mass", "mass", help='Mass of the whole blade, as "0.8 kg".')
@option("--blade", help='Tip circle, as "21 in".')
@option("--missing", help='The bit that is missing or too much, as "10 g".')
@option("--from-centre", "missing_radius", help="How far from the hole's centre it is.")
@option("--speed", help="Highest speed of the blade's shaft.")
@option("--grind-at", "grind_radius", help="Where the heavy end would be ground; the tip where left out.")
@option("--grade", metavar="TEXT", help="Balance quality grade to hold it against.")
@option("--mover", help="Smallest bit that moves your balancer.")
@option("--mover-at", "mover_radius", help="Where that bit was laid.")
@option("--hole-play", help="Hole less spindle, on diameter.")
@option("--machine-mass", help="Mass of the machine.")
@decimal_option
@answers_plainly
def balance(decimal_mark: DecimalMark, as_json: bool, **typed: Any) -> None:
    """Unbalance, its force beside the blade's weight, the grade's figure, and what to grind off."""
    with as_typed(tip_radius="blade", rotation="speed"):
        found = judge_balance(
            balance_input(entries(options_given(typed), BalanceTable, decimal_mark=decimal_mark))
        )
    answer(asdict(found), "\n".join(_text(found)), as_json=as_json)


def _text(found: BalanceResult) -> Iterator[str]:
    there, permitted = found.unbalance * 1e6, found.permitted * 1e6  # g mm
    yield said(Message("terminal.unbalance", there=there, grade=found.grade, permitted=permitted))
    yield said(Message("terminal.pulls", force=Amount(found.force, "force"), times=found.beside_blade))
    if found.beside_machine is not None:
        yield said(Message("terminal.beside-machine", share=Amount(found.beside_machine, "share")))
    yield said(Message("terminal.grind", grind=Amount(found.grind, "mass")))
    yield said(Message("terminal.at-the-tip", grade=found.grade, mass=Amount(found.permitted_at_tip, "mass")))
    if found.balancer_floor is not None:
        yield said(Message("terminal.balancer-shows", floor=found.balancer_floor * 1e6))
    yield said(found.grade_standing)
    yield from map(said, found.notes)
