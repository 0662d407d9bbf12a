"""`snath balance`: what a missing bit of blade pulls with, and what to grind off."""

from collections.abc import Iterator
from dataclasses import asdict
from typing import Any

import click

from snath.decisions.behaviour.balance import BalanceInput, BalanceResult, judge_balance
from snath.quantities.message import Amount, Message
from snath.quantities.numbers import DecimalMark
from snath.shop.cli.answer import answer, json_option, said, speaks_plainly
from snath.shop.cli.as_typed import as_typed
from snath.shop.cli.common import decimal_option
from snath.shop.cli.typed import Typed

OPTIONS = {
    "mass": "blade-mass",
    "missing_radius": "from-centre",
    "grind_radius": "grind-at",
    "mover_radius": "mover-at",
    "hole_play": "hole-play",
    "machine_mass": "machine-mass",
}


@click.command()
@click.option("--blade-mass", required=True, help='Mass of the whole blade, as "0.8 kg".')
@click.option("--blade", required=True, help='Tip circle, as "21 in".')
@click.option("--missing", required=True, help='The bit that is missing or too much, as "10 g".')
@click.option("--from-centre", required=True, help="How far from the hole's centre it is.")
@click.option("--speed", required=True, help="Highest speed of the blade's shaft.")
@click.option("--grind-at", help="Where the heavy end would be ground; the tip where left out.")
@click.option("--grade", default="G16", show_default=True, help="Balance quality grade to hold it against.")
@click.option("--mover", help="Smallest bit that moves your balancer.")
@click.option("--mover-at", help="Where that bit was laid.")
@click.option("--hole-play", default="0 mm", show_default=True, help="Hole less spindle, on diameter.")
@click.option("--machine-mass", help="Mass of the machine.")
@decimal_option
@json_option
@speaks_plainly
def balance(decimal_mark: DecimalMark, as_json: bool, **options: Any) -> None:
    """Unbalance, its force beside the blade's weight, the grade's figure, and what to grind off."""
    given = _given(Typed(options, decimal_mark))
    with as_typed(OPTIONS):
        found = judge_balance(given)
    answer(asdict(found), "\n".join(_text(found)), as_json=as_json)


def _given(typed: Typed) -> BalanceInput:
    tip = typed.value("blade", "length") / 2
    grind = typed.maybe("grind_at", "length")
    return BalanceInput(
        mass=typed.value("blade_mass", "mass"),
        missing=typed.value("missing", "mass"),
        missing_radius=typed.value("from_centre", "length"),
        tip_radius=tip,
        grind_radius=tip if grind is None else grind,
        rotation=typed.value("speed", "rotation"),
        grade=typed["grade"],
        mover=typed.maybe("mover", "mass"),
        mover_radius=typed.maybe("mover_at", "length"),
        hole_play=typed.value("hole_play", "length"),
        machine_mass=typed.maybe("machine_mass", "mass"),
    )


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
