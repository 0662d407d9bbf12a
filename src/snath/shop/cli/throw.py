"""`snath throw`: what a blade's tip can throw, as found, as left and at the limit."""

from collections.abc import Iterator
from typing import Any

import click

from snath.decisions.behaviour.throw import ThrowResult, judge_throw
from snath.decisions.behaviour.thrown import Opening, Surroundings, Thing, ThrowInput, TipSpeed
from snath.decisions.quick import quick_limit
from snath.formulas.blades import tip_speed
from snath.quantities.measured import Measured, exact
from snath.quantities.numbers import DecimalMark
from snath.quantities.units import parse, show
from snath.shop.cli.answer import answer, json_option, speaks_plainly
from snath.shop.cli.common import decimal_option, market_option, rule_book, rules_option, write_bytes
from snath.shop.pictures.reach import reach_picture
from snath.shop.pictures.throw import throw_picture
from snath.shop.pictures.voice import speaking

LIMIT = "at the limit"


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
@click.option("--wind", default="0 m/s", show_default=True, help="Wind along the throw.")
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
def throw(
    blade: str,
    found: str | None,
    left: str | None,
    stone: str,
    density: float,
    bounce: tuple[float, float],
    height: str | None,
    edge_distance: str | None,
    edge_low: str,
    edge_high: str | None,
    wind: str,
    slope: str,
    carrying: str,
    rule_id: str | None,
    picture: str | None,
    training_picture: str | None,
    market: str,
    rules: str | None,
    decimal_mark: DecimalMark,
    as_json: bool,
) -> None:
    """Speeds, energies beside published figures and, with an opening given, how far: for teaching."""

    def read(text: str, field: str, dimension: Any) -> Measured:
        return parse(text, dimension=dimension, field=field, decimal_mark=decimal_mark)

    def value(text: str, field: str, dimension: Any) -> float:
        return read(text, field, dimension).value

    circle = value(blade, "blade", "length")
    limit = quick_limit(exact(circle), rule_book(rules, decimal_mark), market=market, only=rule_id)
    stages = [
        TipSpeed(stage, float(tip_speed(rotation=value(text, stage, "rotation"), diameter=circle)))
        for stage, text in (("as found", found), ("as left", left))
        if text is not None
    ]
    opening = None
    if height and edge_distance and edge_high:
        places = {
            "height": height,
            "edge distance": edge_distance,
            "edge low": edge_low,
            "edge high": edge_high,
        }
        opening = Opening(*(value(text, field, "length") for field, text in places.items()))
    given = ThrowInput(
        stages=(*stages, TipSpeed(LIMIT, limit.rule.at_most or 0.0)),
        things=(Thing(f"stone of {stone}", value(stone, "stone", "mass"), density),),
        bounce_low=bounce[0],
        bounce_high=bounce[1],
        opening=opening,
        surroundings=Surroundings(wind=value(wind, "wind", "speed"), slope=value(slope, "slope", "angle")),
        carrying=value(carrying, "carrying", "energy"),
    )
    judged = judge_throw(given)
    _draw(judged, picture, training_picture)
    answer(_data(judged, limit.rule.id), "\n".join(_text(judged)), as_json=as_json)


def _draw(judged: ThrowResult, picture: str | None, training_picture: str | None) -> None:
    voice = speaking("en", "in")
    if picture:
        write_bytes(picture, throw_picture(judged.carried, voice).svg.encode(), "picture")
    if training_picture and judged.elevations:
        drawn = reach_picture(judged.training, judged.elevations, voice)
        write_bytes(training_picture, drawn.svg.encode(), "training picture")


def _data(judged: ThrowResult, rule: str) -> dict[str, Any]:
    return {
        "rule": rule,
        "carried": [
            {
                "thing": one.thing,
                "stage": one.stage,
                "leaves_m_s": [0.0, round(one.leaves_high, 3)],
                "square_hit_m_s": [round(one.leaves_low, 3), round(one.leaves_high, 3)],
                "energy_j": [round(one.energy_low, 4), round(one.energy_high, 4)],
                "beside_first": round(one.beside_first, 6),
                "figures": [
                    {
                        "id": pair.criterion.id,
                        "times": round(pair.times, 4),
                        "standing": pair.criterion.standing,
                        "means": pair.criterion.means,
                        "does_not_mean": pair.criterion.does_not_mean,
                    }
                    for pair in one.low
                ],
            }
            for one in judged.carried
        ],
        "training": [
            {
                "stage": one.stage,
                "farthest_m": [round(one.rough, 2), round(one.smoother, 2)],
                "farthest_smooth_ball_m": None if one.sphere is None else round(one.sphere, 2),
                "highest_m": round(one.apex, 2),
                "still_carries_at_m": round(one.carry, 2),
            }
            for one in judged.training
        ],
        "notes": list(judged.notes),
    }


def _text(judged: ThrowResult) -> Iterator[str]:
    for one in judged.carried:
        least, most = (show(speed, "m/s", digits=0) for speed in (one.leaves_low, one.leaves_high))
        little, much = (show(energy, "J", digits=0) for energy in (one.energy_low, one.energy_high))
        yield (
            f"{one.thing}, {one.stage}: anything from 0 up to {least} ({little}) with the least bounce, up to "
            f"{most} ({much}) with the most. Beside published figures, with the least:"
        )
        yield from (f"    {p.times:.2f} times {p.criterion.printed} ({p.criterion.id})" for p in one.low)
    for pair in judged.carried[0].low:
        criterion = pair.criterion
        yield f"{criterion.id}: {criterion.source} (known: {criterion.standing})."
        yield f"    {criterion.means} {criterion.does_not_mean}"
    for reach in judged.training:
        ball = "" if reach.sphere is None else f", a smooth ball {reach.sphere:.0f} m"
        yield f"For teaching, {reach.stage}: a stone {reach.rough:.0f} to {reach.smoother:.0f} m{ball}."
    yield from judged.notes
