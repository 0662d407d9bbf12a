"""`snath balance`: what a missing bit of blade pulls with, and what to grind off."""

from collections.abc import Iterator
from dataclasses import asdict
from typing import Any

import click

from snath.decisions.behaviour.balance import BalanceInput, BalanceResult, judge_balance
from snath.quantities.numbers import DecimalMark
from snath.quantities.units import parse, show
from snath.shop.cli.answer import answer, json_option, speaks_plainly
from snath.shop.cli.common import decimal_option


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
def balance(
    blade_mass: str,
    blade: str,
    missing: str,
    from_centre: str,
    speed: str,
    grind_at: str | None,
    grade: str,
    mover: str | None,
    mover_at: str | None,
    hole_play: str,
    machine_mass: str | None,
    decimal_mark: DecimalMark,
    as_json: bool,
) -> None:
    """Unbalance, its force beside the blade's weight, the grade's figure, and what to grind off."""

    def value(text: str, field: str, dimension: Any) -> float:
        return parse(text, dimension=dimension, field=field, decimal_mark=decimal_mark).value

    def maybe(text: str | None, field: str, dimension: Any) -> float | None:
        return None if text is None else value(text, field, dimension)

    tip = value(blade, "blade", "length") / 2
    given = BalanceInput(
        mass=value(blade_mass, "blade mass", "mass"),
        missing=value(missing, "missing", "mass"),
        missing_radius=value(from_centre, "from centre", "length"),
        tip_radius=tip,
        grind_radius=maybe(grind_at, "grind at", "length") or tip,
        rotation=value(speed, "speed", "rotation"),
        grade=grade,
        mover=maybe(mover, "mover", "mass"),
        mover_radius=maybe(mover_at, "mover at", "length"),
        hole_play=value(hole_play, "hole play", "length"),
        machine_mass=maybe(machine_mass, "machine mass", "mass"),
    )
    found = judge_balance(given)
    answer(asdict(found), "\n".join(_text(found, decimal_mark)), as_json=as_json)


def _text(found: BalanceResult, mark: DecimalMark) -> Iterator[str]:
    def grams(kilograms: float) -> str:
        return show(kilograms, "g", digits=2, decimal_mark=mark)

    def newtons(force: float) -> str:
        return show(force, "N", digits=0, decimal_mark=mark)

    yield f"Unbalance {found.unbalance * 1e6:,.0f} g mm; {found.grade} would permit {found.permitted * 1e6:,.0f} g mm."
    yield f"It pulls with {newtons(found.force)}, {found.beside_blade:.0f} times the blade's own weight."
    if found.beside_machine is not None:
        yield f"That is {found.beside_machine:.0%} of the machine's weight, every turn, on bearing and frame."
    yield f"Grind {grams(found.grind)} off the heavy end."
    yield f"{found.grade} would permit {grams(found.permitted_at_tip)} at the tip."
    if found.balancer_floor is not None:
        yield f"Your balancer shows {found.balancer_floor * 1e6:,.0f} g mm and more."
    yield found.grade_standing
    yield from found.notes
