"""`snath throw`: what a blade's tip can throw, as found, as left and at the limit."""

from dataclasses import replace
from typing import Any

import click

from snath.decisions.behaviour.from_tables import throw_input
from snath.decisions.behaviour.ranges import turning
from snath.decisions.behaviour.tables import OpeningTable, ThingTable, ThrowTable
from snath.decisions.behaviour.throw import ThrowResult, judge_throw
from snath.decisions.behaviour.thrown import STONE, TipSpeed
from snath.decisions.machine.sheet_validation import entries
from snath.decisions.quick import quick_limit
from snath.formulas.blades import tip_speed
from snath.quantities.errors import InputError
from snath.quantities.measured import exact
from snath.quantities.message import Message
from snath.quantities.numbers import DecimalMark
from snath.quantities.units import parse, show
from snath.shop.cli.answer import answer, answers_plainly, said
from snath.shop.cli.common import book_options, decimal_option
from snath.shop.cli.plot import write_plot
from snath.shop.cli.throw_words import throw_data, throw_text
from snath.shop.cli.typed import as_typed, options_given, options_of
from snath.shop.files.shop_rules import rule_book
from snath.shop.pictures.reach import reach_picture
from snath.shop.pictures.throw import throw_picture

LIMIT = "at the limit"
PLACES = ("struck_height", "edge_distance", "edge_high")  # no opening without all of them
thrown, thing, opening = options_of(ThrowTable), options_of(ThingTable), options_of(OpeningTable)


@click.command()
@click.option("--blade", required=True, help='Tip circle, as "21 in".')
@click.option("--found", help="Blade speed as found.")
@click.option("--left", help="Blade speed as left.")
@thing(
    "--stone",
    "mass",
    required=False,
    default=show(STONE, "g", digits=0),
    show_default=True,
    help="Mass of what is thrown.",
)
@thing("--density", help="Its density in kg/m3.")
@click.option("--bounce", nargs=2, show_default="0 and 1", help="Least and most, 0 to 1.")
@opening(
    "--height",
    "struck_height",
    required=False,
    help="Blade above ground; with the next three: distances, for teaching.",
)
@opening("--edge-distance", required=False, help="From the blow to the opening's plane.")
@opening("--edge-low", required=False, default="0 mm", show_default=True, help="Its lower edge above ground.")
@opening("--edge-high", required=False, help="Its upper edge above ground.")
@thrown("--wind", help='Wind along the throw; "-3 m/s" blows against it.')
@thrown("--slope", help="Rise of the ground; negative falls away.")
@thrown("--carrying", help="Energy whose reach is asked for.")
@click.option("--rule", "rule_id", help="Id of the tip-speed row to use as the limit.")
@click.option("--plot", "--picture", "plot_file", help="Draw the customer's picture: SVG or PNG.")
@click.option("--training-picture", help="Draw the flights, for teaching: SVG or PNG.")
@book_options
@decimal_option
@answers_plainly
def throw(
    blade: str,
    found: str | None,
    left: str | None,
    rule_id: str | None,
    plot_file: str | None,
    training_picture: str | None,
    market: str,
    rules: str | None,
    decimal_mark: DecimalMark,
    as_json: bool,
    **typed: Any,
) -> None:
    """Speeds, energies beside published figures and, with an opening given, how far: for teaching."""
    circle = parse(blade, dimension="length", field="blade", decimal_mark=decimal_mark).value
    limit = quick_limit(exact(circle), rule_book(rules, decimal_mark), market=market, only=rule_id)
    stages = []
    for name, text in (("found", found), ("left", left)):
        if text is not None:
            rotation = parse(text, dimension="rotation", field=name, decimal_mark=decimal_mark).value
            turning(name, rotation)
            stages.append(TipSpeed(f"as {name}", float(tip_speed(rotation=rotation, diameter=circle))))
    stages.append(TipSpeed(LIMIT, limit.rule.at_most or 0.0))
    with as_typed(bounce_low="bounce", bounce_high="bounce"):
        told = _told(typed, drawn=training_picture is not None)
        asked = throw_input(entries(told, ThrowTable, decimal_mark=decimal_mark))
        judged = judge_throw(replace(asked, stages=tuple(stages)))
    _draw(judged, plot_file, training_picture)
    answer(throw_data(judged, limit.rule.id), "\n".join(throw_text(judged)), as_json=as_json)


def _told(typed: dict[str, Any], *, drawn: bool) -> dict[str, Any]:
    """Options as the tables have them; an opening where one is spoken of or drawn, and half of it is not enough."""
    mass, density = typed.pop("mass"), typed.pop("density")
    place = {name: typed.pop(name) for name in (*PLACES, "edge_low")}
    bounce = dict(zip(("bounce_low", "bounce_high"), typed.pop("bounce") or (), strict=False))
    missing = [name for name in PLACES if place[name] is None]
    if missing and (drawn or len(missing) < len(PLACES)):
        raise InputError(missing[0], "nothing", Message("terminal.opening-in-three"))
    named = said(Message("terminal.stone-of", mass=mass))
    stone = options_given({"name": named, "mass": mass, "density": density})
    return options_given({**typed, **bounce, "thing": [stone], "opening": None if missing else place})


def _draw(judged: ThrowResult, plot_file: str | None, training_picture: str | None) -> None:
    write_plot(plot_file, lambda voice: throw_picture(judged.carried, voice))
    if seen := judged.elevations:
        write_plot(training_picture, lambda voice: reach_picture(judged.training, seen, voice))
