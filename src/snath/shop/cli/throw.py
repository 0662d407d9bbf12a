"""`snath throw`: what a blade's tip can throw, as found, as left and at the limit."""

from collections.abc import Iterator
from typing import Any

import click

from snath.decisions.behaviour.ranges import turning
from snath.decisions.behaviour.throw import ThrowResult, judge_throw
from snath.decisions.behaviour.thrown import Opening, Surroundings, Thing, ThrowInput, TipSpeed
from snath.decisions.quick import quick_limit
from snath.formulas.blades import tip_speed
from snath.quantities.errors import InputError
from snath.quantities.measured import exact
from snath.quantities.numbers import DecimalMark
from snath.shop.cli.answer import answer, json_option, speaks_plainly
from snath.shop.cli.as_typed import as_typed
from snath.shop.cli.common import decimal_option, market_option, rule_book, rules_option, write_bytes
from snath.shop.cli.throw_words import throw_data, throw_text
from snath.shop.cli.typed import Typed
from snath.shop.pictures.reach import reach_picture
from snath.shop.pictures.throw import throw_picture
from snath.shop.pictures.voice import speaking

LIMIT = "at the limit"
PLACES = ("height", "edge_distance", "edge_high")  # no opening without all of them
OPTIONS = {
    "mass": "stone",
    "bounce_low": "bounce",
    "bounce_high": "bounce",
    "struck_height": "height",
    "edge_distance": "edge-distance",
    "edge_low": "edge-low",
    "edge_high": "edge-high",
    "tail_wind": "wind",
}


@click.command()
@click.option("--blade", required=True, help='Tip circle, as "21 in".')
@click.option("--found", help="Blade speed as found.")
@click.option("--left", help="Blade speed as left.")
@click.option("--stone", default="20 g", show_default=True, help="Mass of what is thrown.")
@click.option("--density", type=float, default=2600.0, show_default=True, help="Its density in kg/m3.")
@click.option(
    "--bounce", type=float, nargs=2, default=(0.0, 1.0), show_default=True, help="Least and most, 0 to 1."
)
@click.option("--height", help="Blade above ground; with the next three: distances, for teaching.")
@click.option("--edge-distance", help="From the blow to the opening's plane.")
@click.option("--edge-low", default="0 mm", show_default=True, help="Its lower edge above ground.")
@click.option("--edge-high", help="Its upper edge above ground.")
@click.option(
    "--wind", default="0 m/s", show_default=True, help='Wind along the throw; "-3 m/s" blows against it.'
)
@click.option("--slope", default="0 deg", show_default=True, help="Rise of the ground; negative falls away.")
@click.option("--carrying", default="1 J", show_default=True, help="Energy whose reach is asked for.")
@click.option("--rule", "rule_id", help="Id of the tip-speed row to use as the limit.")
@click.option("--picture", help="Write the customer's picture to this SVG file.")
@click.option("--training-picture", help="Write the flights to this SVG file, for teaching.")
@market_option
@rules_option
@decimal_option
@json_option
@speaks_plainly
def throw(market: str, rules: str | None, decimal_mark: DecimalMark, as_json: bool, **options: Any) -> None:
    """Speeds, energies beside published figures and, with an opening given, how far: for teaching."""
    typed = Typed(options, decimal_mark)
    circle = typed.value("blade", "length")
    limit = quick_limit(exact(circle), rule_book(rules, decimal_mark), market=market, only=typed["rule_id"])
    stages = (*_stages(typed, circle), TipSpeed(LIMIT, limit.rule.at_most or 0.0))
    given = _given(typed, stages)
    with as_typed(OPTIONS):
        judged = judge_throw(given)
    _draw(judged, typed["picture"], typed["training_picture"])
    answer(throw_data(judged, limit.rule.id), "\n".join(throw_text(judged)), as_json=as_json)


def _stages(typed: Typed, circle: float) -> Iterator[TipSpeed]:
    """Tip speeds as found and as left, where their blade speeds were typed."""
    for name in ("found", "left"):
        rotation = typed.maybe(name, "rotation")
        if rotation is not None:
            turning(name, rotation)
            yield TipSpeed(f"as {name}", float(tip_speed(rotation=rotation, diameter=circle)))


def _given(typed: Typed, stages: tuple[TipSpeed, ...]) -> ThrowInput:
    low, high = typed["bounce"]
    return ThrowInput(
        stages=stages,
        things=(Thing(f"stone of {typed['stone']}", typed.value("stone", "mass"), typed["density"]),),
        bounce_low=low,
        bounce_high=high,
        opening=_opening(typed),
        surroundings=Surroundings(wind=typed.value("wind", "wind"), slope=typed.value("slope", "angle")),
        carrying=typed.value("carrying", "energy"),
    )


def _opening(typed: Typed) -> Opening | None:
    """Where things get out; None where nothing is said of it, and half of it is not enough."""
    missing = [name for name in PLACES if typed[name] is None]
    if len(missing) == len(PLACES) and typed["training_picture"] is None:
        return None
    if missing:
        wanted = "an opening takes --height, --edge-distance and --edge-high: measure all three"
        raise InputError(missing[0].replace("_", "-"), "nothing", wanted)
    places = ("height", "edge_distance", "edge_low", "edge_high")
    return Opening(*(typed.value(name, "length") for name in places))


def _draw(judged: ThrowResult, picture: str | None, training_picture: str | None) -> None:
    voice = speaking("en", "in")
    if picture:
        write_bytes(picture, throw_picture(judged.carried, voice).svg.encode(), "picture")
    if training_picture and judged.elevations:
        drawn = reach_picture(judged.training, judged.elevations, voice)
        write_bytes(training_picture, drawn.svg.encode(), "training-picture")
