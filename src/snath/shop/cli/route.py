"""`snath route`: how a belt runs, how long its way is, and where its idler sits."""

import math
from collections.abc import Iterator
from typing import Any

import click

from snath.decisions.drive.frame import Frame
from snath.decisions.drive.frame_sheet import read_frame
from snath.decisions.drive.installed import InstalledDrive, installed_drive
from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.quantities.numbers import DecimalMark
from snath.quantities.units import show
from snath.shop.answers.heads import BENCH_CAUTION
from snath.shop.cli.answer import answer, answers_plainly, facts, said
from snath.shop.cli.common import decimal_option, write_bytes
from snath.shop.media.text_file import read_text
from snath.shop.pictures.picture import Picture
from snath.shop.pictures.route import route_picture
from snath.shop.pictures.voice import speaking


@click.command()
@click.argument("route_file", metavar="ROUTE")
@click.option("--svg", "svg_file", help="Write the route to scale as an SVG picture.")
@decimal_option
@answers_plainly
def route(route_file: str, svg_file: str | None, decimal_mark: DecimalMark, as_json: bool) -> None:
    """Length, spans, wraps and idler of the belt in ROUTE."""
    found = installed_drive(read_frame(read_text(route_file, "route"), decimal_mark=decimal_mark))
    if svg_file:
        write_bytes(svg_file, picture(found).svg.encode("utf-8"), "svg")
    answer(route_data(found), "\n".join(route_lines(found)), as_json=as_json)


def picture(found: InstalledDrive, *, unit: str = "in") -> Picture:
    """The route as a drawing.

    Raises
    ------
    InputError
        For a route out of one plane, which has no plan.
    """
    frame = found.frame
    if found.route is None:
        raise InputError("svg", frame.name, Message("records.route-in-plane"))
    voice = speaking("en", "mm" if unit == "mm" else "in")
    return route_picture(
        found.route, voice, name=frame.name, belt=frame.belt.name, clockwise=frame.clockwise, way=frame.way
    )


def route_data(found: InstalledDrive) -> dict[str, Any]:
    """The route as JSON has it; lengths in mm, angles in degrees."""
    frame = found.frame
    return {
        "name": frame.name,
        "belt": {
            "name": frame.belt.name,
            "section": frame.belt.section,
            "line": frame.belt.line,
            "length_mm": _mm(frame.belt.length),
        },
        "length_mm": _mm(found.length),
        "pulleys": list(_flat_pulleys(found) if found.route else _space_pulleys(found)),
        "spans": list(_flat_spans(found) if found.route else _space_spans(found)),
        "moving": _moving(found),
        "pull_n": None if found.pull is None else round(found.pull, 1),
        "notes": facts(found.notes),
    }


def _flat_pulleys(found: InstalledDrive) -> Iterator[dict[str, Any]]:
    assert found.route is not None
    for pulley, wrap in zip(found.route.pulleys, found.route.wraps, strict=True):
        yield {
            "name": pulley.name,
            "x_mm": _mm(pulley.x),
            "y_mm": _mm(pulley.y),
            "outside_mm": _mm(2 * pulley.rim),
            "on_the_back": pulley.back,
            "turns": turns(found.frame, pulley.back),
            "wrap_deg": round(math.degrees(wrap), 2),
        }


def _flat_spans(found: InstalledDrive) -> Iterator[dict[str, Any]]:
    assert found.route is not None
    names = [p.name for p in found.route.pulleys]
    for i, span in enumerate(found.route.spans):
        ends = [names[i], names[(i + 1) % len(names)]]
        yield {"between": ends, "length_mm": _mm(span.length)}


def _space_pulleys(found: InstalledDrive) -> Iterator[dict[str, Any]]:
    assert found.space is not None
    for wheel, wrap in zip(found.space.wheels, found.space.wraps, strict=True):
        yield {"name": wheel.name, "on_the_back": wheel.back, "wrap_deg": round(math.degrees(wrap), 2)}


def _space_spans(found: InstalledDrive) -> Iterator[dict[str, Any]]:
    assert found.space is not None
    names = [w.name for w in found.space.wheels]
    for i, span in enumerate(found.space.spans):
        yield {
            "between": [names[i], names[(i + 1) % len(names)]],
            "length_mm": _mm(span.length),
            "leaves_at_deg": round(math.degrees(span.leaving), 2),
            "enters_at_deg": round(math.degrees(span.entering), 2),
            "twist_deg": round(math.degrees(span.twist), 1),
        }


def _moving(found: InstalledDrive) -> dict[str, Any] | None:
    if found.seat is None:
        return None
    return {
        "name": found.frame.moving,
        "x_mm": _mm(found.seat.place[0]),
        "y_mm": _mm(found.seat.place[1]),
        "share_of_travel": round(found.seat.share, 4),
        "share_left_stretched": None if found.share_left is None else round(found.share_left, 4),
        "slack_released_mm": None if found.slack_released is None else _mm(found.slack_released),
    }


def route_lines(found: InstalledDrive) -> Iterator[str]:
    """The route for the terminal."""
    frame = found.frame
    yield f"{frame.name}: belt {frame.belt.name}, {frame.belt.line} length {both(frame.belt.length)}"
    yield f"Way of the belt {both(found.length)}"
    yield ""
    data = route_data(found)
    for pulley in data["pulleys"]:
        side = "back" if pulley["on_the_back"] else ""
        turning = pulley.get("turns", "")
        yield f"  {pulley['name']:<18} wrap {pulley['wrap_deg']:7.2f} deg  {turning:<18} {side}".rstrip()
    for span in data["spans"]:
        fleet = f"  enters {span['enters_at_deg']:.2f} deg off" if "enters_at_deg" in span else ""
        yield f"  {' to '.join(span['between']):<32} {span['length_mm']:8.1f} mm{fleet}"
    if found.seat is not None:
        yield ""
        x, y = (show(abs(v), "mm") for v in found.seat.place)
        signs = ["-" if v < 0 else "" for v in found.seat.place]
        left = "none, it is at its end" if found.share_left is None else f"{found.share_left:.0%}"
        yield f"{frame.moving} at {signs[0]}{x}, {signs[1]}{y}: {found.seat.share:.0%} of its travel used"
        yield f"Take-up left once the belt has stretched: {left}"
    if found.pull is not None:
        pull = f"{show(found.pull, 'N', digits=0)} ({show(found.pull, 'lbf', digits=0)})"
        yield f"Pull in the belt at the idler, at rest: {pull}"
    yield ""
    yield from map(said, found.notes)
    yield said(BENCH_CAUTION)


def turns(frame: Frame, back: bool) -> str:
    """Which way a pulley turns as drawn."""
    return "clockwise" if frame.clockwise != back else "counter-clockwise"


def both(length: float) -> str:
    """A length in both units."""
    return f"{show(length, 'in', digits=2)} ({show(length, 'mm')})"


def _mm(length: float) -> float:
    return round(length * 1000, 2)
