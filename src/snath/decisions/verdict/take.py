"""Find the fewest readings that would prove a machine: where, while what, and between which speeds."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations, product

from snath.decisions.machine.drivetrain import USUAL_SLIP, may_slip, slip, speed_ratios
from snath.decisions.machine.parts import CRANKSHAFT, Condition, Machine
from snath.decisions.reading.idle import NEAR
from snath.decisions.reading.instruments import CHECKED, Instrument
from snath.decisions.verdict.band import Band, Bench, Item, Way, ends, within
from snath.decisions.verdict.conditions import ORDER, Span, span

MOST = 12  # readings asked for at once
PLACES = 25  # engine speeds tried for readings that go together
OFF_FASTER = 1.2  # than in air at most, where no governor bounds it
EVERY_TURN = "counts every turn"
# With what a reading may be taken, roughest first: the roughest that proves the machine is asked for.
ROUGHEST_FIRST: tuple[tuple[Instrument | None, float | None], ...] = (
    (None, None),
    (Instrument("optical", "optical tachometer", "optical"), None),
    (CHECKED, None),
    (None, 1 / 60),  # somebody stands for 1 rpm
)


@dataclass(frozen=True, slots=True)
class Take:
    """One reading to take: the band it passes in, and the limits it is for, by member; the maker's figure by name."""

    band: Band
    limits: tuple[str, ...]


def takes(bench: Bench, ways: Sequence[Sequence[Way]]) -> tuple[Take, ...]:
    """The fewest readings of the first set of ways that prove the machine; none where none of them does."""
    for together in ways:
        found = _fewest(bench, together) or _beside_idle(bench, together)
        if found:
            return found
    return ()


def _beside_idle(bench: Bench, ways: Sequence[Way]) -> tuple[Take, ...]:
    """The same with the idle read besides, which tells whether the instrument counts every turn."""
    idle, tool = bench.machine.engine.idle, ways[0].instrument
    if idle is None or tool is None or bench.beside:
        return ()
    way = replace(ways[0], condition="idle")
    found = _fewest(replace(bench, beside=((way, idle),)), ways)
    return (*found, Take(Band(way, idle / NEAR, idle * NEAR), (EVERY_TURN,))) if found else ()


def _fewest(bench: Bench, together: Sequence[Way]) -> tuple[Take, ...]:
    reaches = [(way, bench.reaches(way), bench.reaches(way, looked=True)) for way in together]
    for count in range(1, min(len(reaches), MOST) + 1):
        for chosen in combinations(reaches, count):
            first, *others = chosen
            found = _proven(bench, [first[:2], *((way, reach) for way, _, reach in others)])
            if found:
                return found
    return ()


def ways_of(
    bench: Bench, *, instrument: Instrument | None = None, stated_u: float | None = None
) -> tuple[tuple[Way, ...], ...]:
    """Every kind of reading this machine allows, with what was named, else with each instrument in turn."""
    named = instrument is not None or stated_u is not None
    tools = ((instrument, stated_u),) if named else ROUGHEST_FIRST
    return tuple(tuple(_ways(bench, *one)) for one in tools)


def _ways(bench: Bench, instrument: Instrument | None, stated_u: float | None) -> Iterator[Way]:
    """In the order a mechanic would rather take them; blades are never told to be let go where they cannot be."""
    machine = bench.machine
    no_load: Condition = "blades in air"
    yield Way(CRANKSHAFT, no_load, instrument, stated_u)
    if machine.engine.clutch:
        yield Way(CRANKSHAFT, "blades off", instrument, stated_u)
    for shaft in dict.fromkeys(member.shaft for member in machine.members):
        if shaft != CRANKSHAFT:
            yield Way(shaft, no_load, instrument, stated_u)


def _proven(bench: Bench, chosen: Sequence[tuple[Way, dict[Item, Span]]]) -> tuple[Take, ...]:
    """These readings together, where they prove it: each limit goes to the one it leaves most room, narrowest first."""
    ratio = [speed_ratios(bench.machine, of=way.shaft)[0].value.value for way, _ in chosen]
    spans: list[Span] = [(-math.inf, math.inf) for _ in chosen]
    said: list[list[str]] = [[] for _ in chosen]
    every = chosen[0][1]
    for item in sorted(every, key=lambda one: max(_room(reach[one], 1.0) for _, reach in chosen)):
        left = [_both(span, reach[item]) for span, (_, reach) in zip(spans, chosen, strict=True)]
        rooms = [_room(span, by) for span, by in zip(left, ratio, strict=True)]
        place = rooms.index(max(rooms))
        spans[place] = left[place]
        said[place].append(item[0])
    if not all(said) or any(not low <= high for low, high in spans):
        return ()
    ways = [way for way, _ in chosen]
    for speeds in _together(bench, ways, spans):
        if bench.passes(*zip(ways, speeds, strict=True)):
            bands = _box(bench, ways, speeds, spans)
            return tuple(Take(band, tuple(dict.fromkeys(of))) for band, of in zip(bands, said, strict=True))
    return ()


def _both(one: Span, other: Span) -> Span:
    return max(one[0], other[0]), min(one[1], other[1])


def _room(span: Span, ratio: float) -> float:
    """How much a span leaves, as engine speed: its width, or how high or low its one end lies. [rev/s]"""
    low, high = span
    if low > high:
        return -math.inf
    if math.isfinite(low) and math.isfinite(high):
        return (high - low) / ratio
    return (high if math.isfinite(high) else -low) / ratio


def _together(bench: Bench, ways: Sequence[Way], spans: Sequence[Span]) -> Iterator[list[float]]:
    """Readings that go together, each in its own span: those one engine speed can give, its middle first."""
    if len(ways) == 1:
        yield from ([speed] for speed in within(*spans[0]))
        return
    shares = [_share(bench.machine, way) for way in ways]
    top = min(span[1] / least for span, (least, _) in zip(spans, shares, strict=True))
    low = max(span[0] / most for span, (_, most) in zip(spans, shares, strict=True))
    if not math.isfinite(top) or top < low:
        return
    low = max(low, 0.8 * top)
    for place in range(PLACES):
        engine = (low + top) / 2 + (top - low) / 2 * (-1) ** place * place / (PLACES - 1)
        yield [
            min(max(engine * (least + most) / 2, span[0], engine * least), span[1], engine * most)
            for span, (least, most) in zip(spans, shares, strict=True)
        ]


def _share(machine: Machine, way: Way) -> Span:
    """Least and most a reading can be of the crankshaft's speed with the blades in air."""
    turns = [one.value.value for one in speed_ratios(machine, of=way.shaft)]
    slower, _ = slip(machine, of=way.shaft)
    if may_slip(machine, of=CRANKSHAFT, per=way.shaft):
        slower = max(slower, USUAL_SLIP)
    least, most = span(machine.engine, read="blades in air", wanted=way.condition, hunts=False)
    return min(turns) * (1 - slower) * least, max(turns) * min(most, OFF_FASTER)


def _box(bench: Bench, ways: Sequence[Way], speeds: Sequence[float], spans: Sequence[Span]) -> list[Band]:
    """Bands around speeds that pass together, such that any speed of one goes with any speed of the others.

    The narrowest is found first; what it may be narrows those after it, and of one shaft's the faster condition is
    never asked for under the slower one.
    """
    box = [Band(way, speed, speed) for way, speed in zip(ways, speeds, strict=True)]
    for place in sorted(range(len(ways)), key=lambda at: spans[at][1] - spans[at][0]):
        corners = _corners(box, place)

        def passes(speed: float, place: int = place, corners: list[list[float]] = corners) -> bool:
            return all(
                bench.passes(*zip(ways, [*corner[:place], speed, *corner[place + 1 :]], strict=True))
                for corner in corners
            )

        box[place] = ends(passes, ways[place], speeds[place], guess=spans[place])
    return [_in_order(band, box) for band in box]


def _corners(box: Sequence[Band], place: int) -> list[list[float]]:
    """The others at their ends: those of the same shaft by themselves, for they may contradict it."""

    def at(band: Band, low: bool) -> float:
        return (band.low or band.high / 2) if low else band.high

    shaft = box[place].way.shaft
    found = (
        [at(band, near if band.way.shaft == shaft else far) for band in box]
        for near, far in product((True, False), repeat=2)
    )
    return [list(corner) for corner in dict.fromkeys(map(tuple, found))]


def _in_order(band: Band, box: Sequence[Band]) -> Band:
    """A band without what the others of its shaft could only contradict: off is never slower than in air."""
    low, high = band.low, band.high
    for other in box:
        if other.way.shaft != band.way.shaft:
            continue
        step = ORDER.index(band.way.condition) - ORDER.index(other.way.condition)
        if step > 0 and other.low is not None:
            low = max(low or 0.0, other.low)
        elif step < 0:
            high = min(high, other.high)
    return replace(band, low=low, high=high)
