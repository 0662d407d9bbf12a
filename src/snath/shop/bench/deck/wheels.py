"""Hold what a drawing of a belt says: which pulleys stand where, and in which order the belt meets them.

The drawing is a flat table of boxes, so that it can be typed, kept as a draft and sent like any other form; a
script only fills the same boxes from where a finger pulled a pulley. Seen from above, the machine's front up, the
engine's shaft is where everything is measured from. A box that is still empty stands where it is drawn at first:
that is good for looking, and refused before anything is chosen by it.
"""

from dataclasses import dataclass

from snath.decisions.machine.parts import CRANKSHAFT
from snath.quantities.errors import InputError
from snath.quantities.numbers import DecimalMark
from snath.quantities.units import Dimension, parse
from snath.shop.bench.jobs.entries import Entries

MOST = 12  # pulleys; a route file has no more
ENGINE, SPINDLE, IDLER = "engine", "spindle", "idler"
INSIDE, BACK, GROOVED = "flat inside", "flat back", "groove"
STAYS, SLIDES, SWINGS = "no", "slot", "arm"
PLACES = {"at": ("x", "y"), "slack": ("sx", "sy"), "pivot": ("px", "py")}
BESIDE = ("x", "sx", "px")  # boxes that are measured to the side

# Where pulleys are drawn before anybody has measured them: to the side each is measured to, and ahead. [m]
SPINDLES = {
    1: ((0.0, 0.33),),
    2: ((0.215, 0.33), (0.215, 0.33)),
    3: ((0.42, 0.33), (0.0, 0.6), (0.42, 0.33)),
}
LONE_IDLER = {"x": 0.078, "y": 0.17, "sx": 0.095, "sy": 0.17, "px": 0.2, "py": 0.3}
FIRST_IDLER = {"x": 0.165, "y": 0.17, "sx": 0.205, "sy": 0.14, "px": 0.28, "py": 0.33}
NEXT_IDLER = {"x": 0.165, "y": 0.14, "sx": 0.205, "sy": 0.11, "px": 0.28, "py": 0.3}

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Hand:
    """How somebody writes lengths: their decimal mark, and the unit of a bare number."""

    mark: DecimalMark
    unit: str

    def read(self, text: str, *, field: str = "", dimension: Dimension = "length") -> float:
        """A length in metres."""
        return parse(
            text, dimension=dimension, field=field, decimal_mark=self.mark, default_unit=self.unit
        ).value

    def signed(self, text: str, *, field: str = "") -> float:
        """A length that may be negative, in metres."""
        plain = text.strip()
        if plain.startswith(("-", "−")):
            return -self.read(plain[1:].strip(), field=field)
        return self.read(plain, field=field)

    def with_unit(self, text: str) -> str:
        """The same text with its unit, as a file needs it."""
        plain = text.strip().replace("−", "-")
        try:
            parse(plain.removeprefix("-").strip(), dimension="length", field="", decimal_mark=self.mark)
        except InputError:
            return f"{plain} {self.unit}"
        return plain


@dataclass(frozen=True, slots=True)
class Wheel:
    """One pulley's boxes. `left` says that its boxes to the side are measured to the left."""

    at: int
    entries: Entries
    start: dict[str, float]

    def text(self, box: str) -> str:
        """What stands in one of its boxes."""
        return self.entries.get(f"w{self.at}_{box}", "").strip()

    @property
    def role(self) -> str:
        return self.text("role")

    @property
    def name(self) -> str:
        return self.text("name")

    @property
    def shaft(self) -> str:
        return CRANKSHAFT if self.role == ENGINE else self.text("shaft")

    @property
    def left(self) -> bool:
        return self.text("hand") == "left"

    @property
    def contact(self) -> str:
        """How the belt lies on it: what drives or is driven does so through a groove."""
        side = self.text("side")
        return side if self.role == IDLER and side in (INSIDE, BACK) else GROOVED

    @property
    def moves(self) -> str:
        moves = self.text("moves")
        return moves if self.role == IDLER and moves in (SLIDES, SWINGS) else STAYS

    @property
    def order(self) -> int:
        """Its place on the belt, 0 for none yet."""
        text = self.text("order")
        return int(text) if text.isascii() and text.isdecimal() and len(text) < 3 else 0

    def places(self) -> tuple[str, ...]:
        """Which of its places count, by the way it moves."""
        if self.role == ENGINE:
            return ()
        return {STAYS: ("at",), SLIDES: ("at", "slack"), SWINGS: ("at", "slack", "pivot")}[self.moves]

    def boxes(self) -> tuple[str, ...]:
        """Its boxes of places that must be filled."""
        return tuple(box for place in self.places() for box in PLACES[place])

    def length(self, box: str, hand: Hand) -> float:
        """One box in metres, to the right and ahead; where nothing is typed, as it is drawn at first.

        Raises
        ------
        InputError
            If what is typed is no length.
        """
        typed = self.text(box)
        value = hand.signed(typed) if typed else self.start.get(box, 0.0)
        return -value if self.left and box in BESIDE else value

    def point(self, place: str, hand: Hand) -> Point:
        """One of its places: "at" is where it sits, tightest where it moves. [m]"""
        if self.role == ENGINE:
            return (0.0, 0.0)
        side, ahead = PLACES[place]
        return self.length(side, hand), self.length(ahead, hand)

    def written(self, box: str, hand: Hand) -> str:
        """One box as a file has it: as typed, with its unit, to the right and ahead."""
        text = hand.with_unit(self.text(box))
        if not (self.left and box in BESIDE):
            return text
        return text[1:].strip() if text.startswith("-") else f"-{text}"


def start_places(roles: list[str]) -> list[dict[str, float]]:
    """A place for every pulley, so that none lies on another. [m]"""
    spindles = roles.count(SPINDLE)
    spots = SPINDLES.get(spindles) or tuple((0.4 * i, 0.33) for i in range(spindles))
    found: list[dict[str, float]] = []
    seen = {SPINDLE: 0, IDLER: 0}
    for role in roles:
        if role == SPINDLE:
            side, ahead = spots[seen[SPINDLE]]
            found.append({"x": side, "y": ahead})
        elif role == IDLER:
            further = 0.09 * max(0, seen[IDLER] - 1)
            first = LONE_IDLER if spindles == 1 else FIRST_IDLER
            base = NEXT_IDLER if seen[IDLER] else first
            found.append({box: value + further for box, value in base.items()})
        else:
            found.append({})
        seen[role] = seen.get(role, 0) + 1
    return found


def count_of(entries: Entries) -> int:
    """How many pulleys are drawn, the engine's first and a spindle among them; 0 where this is no drawing."""
    text = entries.get("wheels", "")
    count = min(int(text), MOST) if text.isascii() and text.isdecimal() and len(text) < 3 else 0
    roles = [entries.get(f"w{at}_role", "") for at in range(count)]
    known = roles[:1] == [ENGINE] and all(role in (SPINDLE, IDLER) for role in roles[1:])
    return count if known and SPINDLE in roles else 0


def wheels_of(entries: Entries) -> tuple[Wheel, ...]:
    """Every pulley of a drawing."""
    count = count_of(entries)
    roles = [entries.get(f"w{at}_role", "") for at in range(count)]
    places = start_places(roles)
    return tuple(Wheel(at, entries, places[at]) for at in range(count))


def on_belt(wheels: tuple[Wheel, ...]) -> tuple[Wheel, ...]:
    """The pulleys the belt runs over, in its order, the engine's first."""
    threaded = sorted((wheel for wheel in wheels if wheel.order), key=lambda wheel: (wheel.order, wheel.at))
    first = next((i for i, wheel in enumerate(threaded) if wheel.role == ENGINE), 0)
    return (*threaded[first:], *threaded[:first])
