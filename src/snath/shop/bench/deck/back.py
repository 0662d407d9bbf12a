"""From a route that is kept back to the boxes of a drawing, in the words it was typed in wherever it has them."""

import tomllib
from collections.abc import Mapping
from typing import Any

from snath.decisions.drive.frame import Frame
from snath.decisions.drive.frame_sheet import read_frame
from snath.decisions.machine.parts import CRANKSHAFT
from snath.formulas.belts.ways import Arm
from snath.quantities.errors import InputErrors
from snath.quantities.toml_text import parsed
from snath.shop.bench.deck.wheels import BACK, ENGINE, IDLER, INSIDE, SLIDES, SPINDLE, STAYS, SWINGS
from snath.shop.bench.jobs.entries import Entries
from snath.shop.bench.preferences import Preferences
from snath.shop.bench.show import typed_length

TOLD = {
    ("belt", "name"): "belt",
    ("belt", "section"): "belt_section",
    ("belt", "outside_length"): "belt_length",
    ("belt", "part"): "belt_part",
    ("fit", "speed"): "speed",
    ("fit", "power"): "power",
}


def entries_of(route: str, preferences: Preferences) -> Entries | None:
    """The boxes a route would be drawn with; None where a drawing cannot say it."""
    try:
        data, frame = parsed(route), read_frame(route)
    except (tomllib.TOMLDecodeError, InputErrors):
        return None
    if frame.space or frame.spring or frame.released is not None or frame.moving == frame.driver.name:
        return None
    if frame.driver.x or frame.driver.y:
        return None
    mark = "," if data.get("decimal_mark") == "," else "."
    entries: Entries = {"wheels": str(len(frame.places)), "turns": data["turns"]}
    entries |= {box: _own(_reach(data, place), mark, preferences) for place, box in TOLD.items()}
    for at, (place, row) in enumerate(zip(frame.places, data["pulley"], strict=True)):
        role = ENGINE if place.shaft == CRANKSHAFT else SPINDLE if place.shaft else IDLER
        boxes = {"role": role, "name": place.name, "order": str(at + 1), "shaft": place.shaft}
        boxes["side"] = {"flat back": BACK, "flat inside": INSIDE}.get(place.contact, "groove")
        boxes["size"] = _own(row.get("outside", ""), mark, preferences) or typed_length(
            place.outside, preferences
        )
        boxes["bore"] = row.get("bore", "")
        boxes["room"] = _own(row.get("room", ""), mark, preferences)
        boxes |= _places(frame, at, row, mark, preferences)
        entries |= {f"w{at}_{key}": value for key, value in boxes.items() if value}
    return {key: value for key, value in entries.items() if value}


def _reach(data: Mapping[str, Any], path: tuple[str, str]) -> str:
    return str(data.get(path[0], {}).get(path[1], ""))


def _places(
    frame: Frame, at: int, row: Mapping[str, Any], mark: str, preferences: Preferences
) -> dict[str, str]:
    """Boxes of one pulley's places: as they were written where they were, else as long as they are."""
    place = frame.places[at]
    if place.shaft == CRANKSHAFT:
        return {}
    points = {"x": (place.x, place.y)}
    written = {"x": row.get("at")}
    boxes = {"hand": "left" if place.x < 0 else "right", "moves": STAYS}
    if place.name == frame.moving and frame.way is not None:
        points = {"x": frame.way.at(1.0), "sx": frame.way.at(0.0)}
        slot = row.get("slot", {})
        written = {"x": slot.get("tight"), "sx": slot.get("slack")}
        boxes["moves"] = SLIDES
        if isinstance(frame.way, Arm):
            points["px"] = frame.way.pivot
            written["px"] = row["arm"]["pivot"]
            boxes["moves"] = SWINGS
        boxes["hand"] = "left" if points["x"][0] < 0 else "right"
    left = boxes["hand"] == "left"
    for box, (x, y) in points.items():
        side, ahead = written.get(box) or ("", "")
        text = _own(side, mark, preferences) or typed_length(x, preferences)
        boxes[box] = _turned(text) if left else text
        boxes[box.replace("x", "y")] = _own(ahead, mark, preferences) or typed_length(y, preferences)
    return boxes


def _turned(text: str) -> str:
    return text[1:].strip() if text.startswith("-") else text if text.startswith("0 ") else f"-{text}"


def _own(text: object, mark: str, preferences: Preferences) -> str:
    """Text of a file in the reader's decimal mark."""
    plain = str(text or "")
    return plain if mark == preferences.decimal_mark else plain.translate(str.maketrans(".,", ",."))
