"""How the machine is driven: every shaft under the one that drives it, with its speed in each alternative.

Of more than two alternatives the slowest and the fastest are shown."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from snath.decisions.machine.drivetrain import sense, speed_ratios
from snath.decisions.machine.parts import CRANKSHAFT, Coupling, Machine
from snath.quantities.measured import Measured, scaled
from snath.quantities.message import Message
from snath.shop.pictures import svg
from snath.shop.pictures.figures import rpm
from snath.shop.pictures.lettering import fitted
from snath.shop.pictures.picture import Picture
from snath.shop.pictures.svg import Element
from snath.shop.pictures.voice import Voice

INDENT = 22.0
LINE = 18.0
PAD = 8.0
AIR = 10.0  # between two boxes
WHEEL = 11.0
WIDE = 560.0  # from here on the speeds stand in a column of their own


Way = tuple[Message | str, Measured]


@dataclass(frozen=True, slots=True)
class ShaftRow:
    """One shaft of the tree.

    Attributes
    ----------
    shaft : str
        Its name.
    depth : int
        Couplings between it and the crankshaft.
    coupling : Coupling or None
        What drives it; None for the crankshaft.
    speeds : tuple of (Message or str, Measured)
        Name and speed of each alternative, slowest first. [rev/s]
    turns : int
        +1 with the crankshaft, -1 against it.
    members : tuple of str
        What sits on it.
    """

    shaft: str
    depth: int
    coupling: Coupling | None
    speeds: tuple[Way, ...]
    turns: int
    members: tuple[str, ...]


def shaft_rows(machine: Machine, rev_s: float) -> list[ShaftRow]:
    """Every shaft at that crankshaft speed, without slip, each under its driver."""

    def row(shaft: str, depth: int, coupling: Coupling | None) -> Iterator[ShaftRow]:
        speeds = sorted(
            ((ratio.name, scaled(ratio.value, rev_s)) for ratio in speed_ratios(machine, of=shaft)),
            key=lambda way: way[1].value,
        )
        members = tuple(member.name for member in machine.members if member.shaft == shaft)
        yield ShaftRow(shaft, depth, coupling, tuple(speeds), sense(machine, shaft), members)
        for joint in machine.couplings:
            if joint.driver == shaft:
                yield from row(joint.driven, depth + 1, joint)

    return list(row(CRANKSHAFT, 0, None))


def train_picture(machine: Machine, voice: Voice, *, rev_s: float, width: float = 720) -> Picture:
    """The shaft tree as a drawing and in words, at one crankshaft speed. [rev/s]"""
    rows = shaft_rows(machine, rev_s)
    text = " ".join(_said(row, voice) for row in rows)
    parts: list[Element] = []
    middles: dict[str, float] = {}
    y = 1.0
    for row in rows:
        middles[row.shaft] = y + PAD + 9
        if row.coupling is not None:
            x, start = _left(row.depth - 1, width) + 12, middles[row.coupling.driver]
            elbow = [
                (x, start + WHEEL + 8),
                (x, middles[row.shaft]),
                (_left(row.depth, width), middles[row.shaft]),
            ]
            parts.insert(0, svg.polyline(elbow, look="line"))
        parts += _box(row, voice, y=y, width=width)
        y += _height(row, width) + AIR
    drawing = svg.document(
        *parts,
        width=width,
        height=y - AIR + 1,
        title=voice.say("train.title"),
        description=text,
        kind="train",
    )
    return Picture(drawing, text)


def _left(depth: int, width: float) -> float:
    return 1 + min(depth * INDENT, width * 0.35)  # a very deep train stops moving right


def _height(row: ShaftRow, width: float) -> float:
    about, speeds = len(_about(row)), len(_extremes(row))
    lines = max(1 + about, speeds) if width >= WIDE else 1 + about + speeds
    return 2 * PAD + lines * LINE


def _box(row: ShaftRow, voice: Voice, *, y: float, width: float) -> list[Element]:
    left, height = _left(row.depth, width), _height(row, width)
    x, right = left + 16 + 2 * WHEEL, width - PAD - 1
    parts = [svg.rectangle(left, y, width - left - 1, height, look=look) for look in ("page", "line")]
    parts += _turning(left + 8 + WHEEL, y + PAD + 9, row.turns)
    about = [words(voice) for words in _about(row)]
    speeds = [_way("train.alternative", name, speed, voice) for name, speed in _extremes(row)]
    name = fitted(voice.term("shaft", row.shaft), right - x, 15, bold=True)
    parts.append(svg.label(x, y + PAD + 14, name, size=15, bold=True))
    for i, words in enumerate(about if width >= WIDE else speeds + about):
        parts.append(svg.label(x, y + PAD + 13 + (i + 1) * LINE, fitted(words, right - x)))
    for i, words in enumerate(speeds if width >= WIDE else []):
        parts.append(svg.label(right, y + PAD + 14 + i * LINE, words, anchor="end", bold=True))
    return parts


def _extremes(row: ShaftRow) -> tuple[Way, ...]:
    return row.speeds if len(row.speeds) <= 2 else (row.speeds[0], row.speeds[-1])


def _way(key: str, name: Message | str, speed: Measured, voice: Voice) -> str:
    figure = rpm(voice, speed.value)
    return voice.say(key, name=voice.said(name), speed=figure) if name else figure


def _about(row: ShaftRow) -> list[Callable[[Voice], str]]:
    about: list[Callable[[Voice], str]] = []
    coupling = row.coupling
    if coupling is not None:
        about.append(
            lambda voice: voice.say(
                "train.row-from",
                kind=voice.term("coupling", coupling.kind),
                driver=voice.term("shaft", coupling.driver),
            )
        )
    if row.members:
        about.append(
            lambda voice: voice.say("train.carries", members=voice.say("train.and").join(row.members))
        )
    return about


def _turning(x: float, y: float, turns: int) -> list[Element]:
    """A shaft end with an arrow round it: the way it turns, taking the crankshaft's as clockwise."""
    r = WHEEL
    start, tip = ((x - r, y), (x, y + r)) if turns > 0 else ((x + r, y), (x, y + r))
    sweep = 1 if turns > 0 else 0
    ends = [svg.number(value) for value in (*start, r, r, *tip)]
    arc = f"M{ends[0]} {ends[1]}A{ends[2]} {ends[3]} 0 1 {sweep} {ends[4]} {ends[5]}"
    back = turns * 6.0  # the arrow head points on along the arc
    head = [(tip[0] + back, tip[1] - 5), (tip[0] + back, tip[1] + 5), (tip[0] - back * 0.4, tip[1])]
    return [svg.path(arc, look="line"), svg.polygon(head, look="mark"), svg.circle(x, y, 3, look="mark")]


def _said(row: ShaftRow, voice: Voice) -> str:
    ways = [_way("train.text-way", name, speed, voice) for name, speed in _extremes(row)]
    speeds = voice.say("train.or").join(ways)
    members = voice.say("train.and").join(row.members)
    if row.coupling is None:
        said = voice.say("train.text-engine", speed=speeds)
        return f"{said} {voice.say('train.text-crank-carries', members=members)}" if members else said
    said = voice.say(
        "train.text-shaft",
        shaft=voice.term("shaft", row.shaft),
        driver=voice.term("shaft", row.coupling.driver),
        kind=voice.term("coupling", row.coupling.kind),
        sense=voice.say("train.turns-with" if row.turns > 0 else "train.turns-against"),
        speeds=speeds,
    )
    return f"{said} {voice.say('train.text-carries', members=members)}" if members else said
