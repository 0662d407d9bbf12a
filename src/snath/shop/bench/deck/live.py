"""What a drawing says while it is drawn: the belt's line to scale, its length, the wraps, the ratios, what is wrong.

All of it comes from the formulas a kept route goes through; the page's script only draws what it is told.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext, ngettext

from snath.decisions.drive.belt import Belt
from snath.decisions.drive.frame import Frame, pulleys, take_up
from snath.decisions.drive.installed import installed_drive
from snath.decisions.machine.couplings import belt_coupling, sheave
from snath.decisions.machine.parts import CRANKSHAFT
from snath.formulas.belts.loop import Route
from snath.formulas.belts.route import lay
from snath.quantities.errors import InputError, InputErrors
from snath.quantities.measured import exact
from snath.shop.bench import show
from snath.shop.bench.deck.compose import frame_of, hand_of
from snath.shop.bench.deck.wheels import ENGINE, SPINDLE, Hand, Wheel, on_belt, wheels_of
from snath.shop.bench.fields import plainly
from snath.shop.bench.jobs.entries import Entries
from snath.shop.bench.preferences import Preferences
from snath.shop.bench.show import typed_length
from snath.shop.bench.words import said
from snath.shop.pictures.plan import MARGIN, Plan
from snath.shop.pictures.route_lines import belt_path

START_SIZE = 0.1016  # m; 4 in: drawn so large is a pulley nobody has measured yet
NOT_MEASURED = "?"
NO_BELT = {"belt": "A", "belt_section": "A", "belt_length": "1000 mm"}
MILLIMETRES = Plan(left=MARGIN / 1000, top=-MARGIN / 1000, scale=1000, width=0, height=0)


@dataclass(frozen=True, slots=True)
class Standing:
    """A drawing with something in every box: which of them are only drawn, and which hold what is no length."""

    entries: Entries
    open: tuple[str, ...]
    faults: tuple[tuple[str, InputError], ...]


def standing(entries: Entries, preferences: Preferences) -> Standing:
    """The boxes with what is drawn at first wherever nothing usable is typed."""
    hand, filled = hand_of(preferences), dict(entries)
    open_boxes: list[str] = []
    faults: list[tuple[str, InputError]] = []
    for wheel in wheels_of(entries):
        for box in ("size", *wheel.boxes()):
            name = f"w{wheel.at}_{box}"
            try:
                if wheel.text(box):
                    hand.read(wheel.text(box)) if box == "size" else hand.signed(wheel.text(box))
                    continue
            except InputError as fault:
                faults.append((name, fault))
            open_boxes.append(name)
            filled[name] = typed_length(wheel.start.get(box, START_SIZE), preferences)
    return Standing(filled, tuple(open_boxes), tuple(faults))


def live(entries: Entries, preferences: Preferences) -> dict[str, Any]:
    """Everything the page shows of a drawing, lengths in mm, y downwards as a screen has it."""
    now = standing(entries, preferences)
    hand = hand_of(preferences)
    wheels = wheels_of(now.entries)
    faults = [(box, plainly(fault, preferences.decimal_mark)) for box, fault in now.faults]
    shown = {wheel.at: _wheel(wheel, hand, now.open) for wheel in wheels}
    facts: list[tuple[str, str]] = []
    path, whole = "", ""
    left = [wheel.name for wheel in wheels if not wheel.order]
    if not left:
        try:
            frame = _frame(now.entries, preferences)
            route, facts, whole = _laid(frame, entries, preferences)
        except (InputError, InputErrors) as found:
            faults += [_named(one, preferences) for one in found.faults]
        else:
            path = belt_path(MILLIMETRES, route)
            _ride(shown, frame, route, wheels, preferences)
    return {
        "wheels": list(shown.values()),
        "path": path,
        "facts": facts,
        "faults": [{"box": box, "words": words} for box, words in faults],
        "left": left,
        "open": list(now.open),
        "said": _said(wheels, left, facts, faults, whole),
        "note": whole,
    }


def _wheel(wheel: Wheel, hand: Hand, open_boxes: tuple[str, ...]) -> dict[str, Any]:
    points = {
        place: _screen(wheel.point(place, hand))
        for place in (*wheel.places(), *(() if wheel.role != ENGINE else ("at",)))
    }
    drawn = [f"w{wheel.at}_{box}" for box in wheel.boxes()]
    return {
        "at": wheel.at,
        "name": wheel.name,
        "role": wheel.role,
        "radius": hand.read(wheel.text("size")) * 500,
        "size": NOT_MEASURED if f"w{wheel.at}_size" in open_boxes else wheel.text("size"),
        "order": wheel.order,
        "contact": wheel.contact,
        "points": points,
        "drawn_only": any(box in open_boxes for box in drawn),
        "facts": [],
    }


def _screen(point: tuple[float, float]) -> list[float]:
    return [round(point[0] * 1000, 2), round(-point[1] * 1000, 2)]


def _frame(entries: Entries, preferences: Preferences) -> Frame:
    belt = {} if entries.get("belt", "").strip() else NO_BELT
    plain = {key: value for key, value in entries.items() if not key.endswith(("_bore", "_room"))}
    return frame_of({**plain, "speed": "", "power": "", **belt}, preferences)


def _laid(
    frame: Frame, entries: Entries, preferences: Preferences
) -> tuple[Route, list[tuple[str, str]], str]:
    """The route as the belt lies, its figures, and what is to be said of it as a whole."""
    if not entries.get("belt", "").strip():
        route = _tight(frame)
        return route, _ways(frame, frame.belt, preferences), gettext("Which belt is on is not said yet.")
    try:
        answer = installed_drive(frame)
    except InputError as fault:
        route = _tight(frame)
        return route, _ways(frame, frame.belt, preferences), plainly(fault, preferences.decimal_mark)
    assert answer.route is not None
    facts = [(gettext("Belt"), f"{frame.belt.name}, {show.length_both(frame.belt.length, preferences)}")]
    facts += _ways(frame, frame.belt, preferences)
    if answer.share_left is not None:
        left = f"{answer.share_left * 100:.0f} %"
        facts.append((gettext("Take-up left, belt stretched"), left))
    return answer.route, facts, " ".join(said(note, preferences) for note in answer.notes)


def _tight(frame: Frame) -> Route:
    """The route with the movable pulley tightest."""
    if frame.way is None:
        return lay(pulleys(frame), clockwise=frame.clockwise)
    return take_up(frame).route(1.0)


def _ways(frame: Frame, belt: Belt, preferences: Preferences) -> list[tuple[str, str]]:
    """How long the belt's way is, at both ends of the take-up where there is one."""
    line = gettext("datum line") if belt.line == "datum" else gettext("outside")
    if frame.way is None:
        return [(gettext("Way of the belt, %(line)s") % {"line": line}, _length(_tight(frame), preferences))]
    rows = []
    ends = ((0.0, gettext("Way at the loosest, %(line)s")), (1.0, gettext("Way at the tightest, %(line)s")))
    for share, words in ends:
        try:
            rows.append((words % {"line": line}, _length(take_up(frame).route(share), preferences)))
        except InputError as fault:
            rows.append((words % {"line": line}, plainly(fault, preferences.decimal_mark)))
    return rows


def _length(route: Route, preferences: Preferences) -> str:
    return show.length_both(route.length, preferences)


def _ride(
    shown: dict[int, dict[str, Any]],
    frame: Frame,
    route: Route,
    wheels: tuple[Wheel, ...],
    preferences: Preferences,
) -> None:
    """Put to each pulley where the belt holds it, how far it is wrapped and how often it turns."""
    by_name = {wheel.name: wheel for wheel in wheels}
    for pulley, wrap in zip(route.pulleys, route.wraps, strict=True):
        wheel = by_name[pulley.name]
        one = shown[wheel.at]
        one["sits"] = _screen((pulley.x, pulley.y))
        one["facts"] = [gettext("wrapped %(angle)s") % {"angle": f"{math.degrees(wrap):.0f}°"}]
        if wheel.role == SPINDLE:
            one["facts"] += _ratio(frame, wheel, preferences)


def _ratio(frame: Frame, wheel: Wheel, preferences: Preferences) -> Iterator[str]:
    own = next(place for place in frame.places if place.name == wheel.name)
    try:
        first, second = (
            sheave(role, section=place.section, outside=exact(place.outside))
            for role, place in (("driver sheave", frame.driver), ("driven sheave", own))
        )
        found = belt_coupling(CRANKSHAFT, own.shaft, driver_sheave=first, driven_sheave=second)
        ratios = sorted(one.value.value for one in found.alternatives)
    except InputError:
        ratios = [frame.driver.outside / own.outside]
    least, most = (f"{ratio:.3f}".replace(".", preferences.decimal_mark) for ratio in (ratios[0], ratios[-1]))
    span = least if least == most else gettext("%(least)s to %(most)s") % {"least": least, "most": most}
    yield gettext("turns %(ratio)s times for one of the engine") % {"ratio": span}


def _named(fault: InputError, preferences: Preferences) -> tuple[str, str]:
    """A fault at its box; one of the belt's way is about the drawing, and names its pulleys itself."""
    words = plainly(fault, preferences.decimal_mark)
    if fault.field.startswith("w") or fault.field in ("belt", "belt_section", "belt_length", "speed"):
        return fault.field, words
    return "", f"{said(fault.field)}: {words}"


def _said(
    wheels: tuple[Wheel, ...],
    left: list[str],
    facts: list[tuple[str, str]],
    faults: list[tuple[str, str]],
    whole: str,
) -> str:
    """One line for whoever does not see the picture."""
    threaded = [wheel.name for wheel in on_belt(wheels)]
    if left:
        on = gettext("On the belt so far: %(names)s.") % {"names": ", ".join(threaded)} if threaded else ""
        words = ngettext("%(n)d pulley is not on it yet.", "%(n)d pulleys are not on it yet.", len(left))
        return f"{on} {words % {'n': len(left)}}".strip()
    if faults:
        return faults[0][1]
    first = "; ".join(f"{name} {value}" for name, value in facts[:3])
    return f"{first}. {whole}".strip()
