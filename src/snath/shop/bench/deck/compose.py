"""From the boxes of a drawing to the route file a text would hold, back from a fault to its box, and back again."""

import math
import re
from dataclasses import dataclass
from typing import Any

from snath.decisions.drive.frame import Frame
from snath.decisions.drive.frame_sheet import read_frame
from snath.decisions.machine.sheet_text import toml_text
from snath.quantities.errors import InputError, InputErrors
from snath.quantities.numbers import in_mark
from snath.shop.bench.deck.wheels import (
    ENGINE,
    SLIDES,
    SWINGS,
    Hand,
    Wheel,
    on_belt,
    wheels_of,
)
from snath.shop.bench.drive.kept_route import marked, millimetres
from snath.shop.bench.jobs.entries import Entries
from snath.shop.bench.preferences import Preferences
from snath.shop.tables.stock_words import bore_for_core

NAME_MOST = 60
PLACE = re.compile(r"^pulley\[([0-9]+)\]\.?(.*)$")
# Which box of a pulley a place of the composed route was filled from, the nearest first.
BOXES = (
    ("at[1]", "x"),
    ("at[2]", "y"),
    ("slot.tight[1]", "x"),
    ("slot.tight[2]", "y"),
    ("slot.slack[1]", "sx"),
    ("slot.slack[2]", "sy"),
    ("slot", "x"),
    ("arm.pivot[1]", "px"),
    ("arm.pivot[2]", "py"),
    ("arm", "px"),
    ("bore", "bore"),
    ("room", "room"),
    ("contact", "side"),
    ("outside", "size"),
)
OF_BELT = {
    "belt.section": "belt_section",
    "belt.outside_length": "belt_length",
    "belt.part": "belt_part",
    "belt": "belt",
    "fit.speed": "speed",
    "fit.power": "power",
}


@dataclass(frozen=True, slots=True)
class Composed:
    """A route, and which pulley of the drawing each of its rows is."""

    text: str
    rows: tuple[int, ...]

    def box_of(self, path: str) -> str | None:
        """The box a place of the route was filled from; None for the drawing as a whole."""
        if match := PLACE.match(path):
            row, rest = int(match[1]) - 1, match[2]
            if not 0 <= row < len(self.rows):
                return None
            box = next((box for place, box in BOXES if rest.startswith(place)), "size")
            return f"w{self.rows[row]}_{box}"
        return next((box for place, box in OF_BELT.items() if path.startswith(place)), None)


def hand_of(preferences: Preferences) -> Hand:
    """How this person writes lengths: a bare number has the unit printed beside the box."""
    return Hand(preferences.decimal_mark, "in" if preferences.units == "inch" else "mm")


def composed(entries: Entries, preferences: Preferences, *, name: str) -> Composed:
    """The route of these boxes, every place of them filled.

    Raises
    ------
    InputErrors
        Naming the boxes that hold no length.
    """
    hand = hand_of(preferences)
    threaded = on_belt(wheels_of(entries))
    faults, pulleys = [], []
    for wheel in threaded:
        try:
            pulleys.append(_pulley(wheel, hand))
        except InputError as fault:
            faults.append(fault)
    if faults:
        raise InputErrors(tuple(faults))
    belt = {
        "name": _text(entries, "belt"),
        "section": _text(entries, "belt_section"),
        "outside_length": _with_unit(entries, "belt_length", hand),
        "part": _text(entries, "belt_part"),
    }
    if not belt["outside_length"]:
        belt["section"] = ""
    data = {
        "name": name[:NAME_MOST],
        "turns": entries.get("turns") or "clockwise",
        "belt": _filled(belt),
        "pulley": pulleys,
        "fit": _filled({"speed": _speed(entries), "power": _text(entries, "power")}),
    }
    text = marked(toml_text(data), preferences.decimal_mark)
    return Composed(text, tuple(wheel.at for wheel in threaded))


def frame_of(entries: Entries, preferences: Preferences, *, name: str = "deck") -> Frame:
    """The frame these boxes amount to; the route file's own reader reads it, as it reads any.

    Raises
    ------
    InputErrors
        With places named by the box they were filled from.
    """
    made = composed(entries, preferences, name=name)
    try:
        return read_frame(made.text)
    except InputErrors as found:
        raise InputErrors(
            tuple(InputError(made.box_of(f.field) or "", f.given, f.allowed) for f in found.faults)
        ) from None


def _pulley(wheel: Wheel, hand: Hand) -> dict[str, Any]:
    row: dict[str, Any] = {
        "name": wheel.name,
        "shaft": wheel.shaft,
        "outside": hand.with_unit(wheel.text("size")) if wheel.text("size") else "",
        "contact": wheel.contact if wheel.contact != "groove" else "",
        "bore": bore_for_core(wheel.text("bore")) if wheel.text("bore") else "",
        "room": hand.with_unit(wheel.text("room")) if wheel.text("room") else "",
    }
    if wheel.role == ENGINE:
        row["at"] = ["0 mm", "0 mm"]
    elif wheel.moves == SWINGS:
        row["arm"] = _arm(wheel, hand)
    else:
        at = [wheel.written("x", hand), wheel.written("y", hand)]
        if wheel.moves == SLIDES:
            row["slot"] = {"slack": [wheel.written("sx", hand), wheel.written("sy", hand)], "tight": at}
        else:
            row["at"] = at
    return _filled(row)


def _arm(wheel: Wheel, hand: Hand) -> dict[str, Any]:
    """An arm from its pin to where the idler sits tightest; loosest is the nearest place on its arc."""
    pivot, tight, slack = (wheel.point(place, hand) for place in ("pivot", "at", "slack"))
    tight_angle, slack_angle = (math.atan2(p[1] - pivot[1], p[0] - pivot[0]) for p in (tight, slack))
    if slack_angle - tight_angle > math.pi:
        slack_angle -= 2 * math.pi
    elif tight_angle - slack_angle > math.pi:
        slack_angle += 2 * math.pi
    return {
        "pivot": [wheel.written("px", hand), wheel.written("py", hand)],
        "length": millimetres(math.dist(pivot, tight), hand.mark),
        "slack": _degrees(slack_angle, hand),
        "tight": _degrees(tight_angle, hand),
    }


def _degrees(angle: float, hand: Hand) -> str:
    return in_mark(f"{math.degrees(angle):.7f}", hand.mark) + " deg"


def _text(entries: Entries, name: str) -> str:
    return entries.get(name, "").strip()


def _with_unit(entries: Entries, name: str, hand: Hand) -> str:
    text = _text(entries, name)
    return hand.with_unit(text) if text else ""


def _speed(entries: Entries) -> str:
    text = _text(entries, "speed")
    return f"{text} rpm" if text and text.replace(",", "").replace(".", "").isdecimal() else text


def _filled(table: dict[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in table.items() if value != ""}
