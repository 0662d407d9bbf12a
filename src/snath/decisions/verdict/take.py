"""Find the fewest readings that would prove a machine: where, while what, and between which speeds."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from snath.decisions.machine.parts import CRANKSHAFT, Condition
from snath.decisions.machine.train import ratios
from snath.decisions.reading.instruments import Instrument
from snath.decisions.verdict.band import Band, Bench, Item, Way, ends, within
from snath.decisions.verdict.conditions import Span

MOST = 6  # readings asked for at once
PLACES = 25  # engine speeds tried for readings that go together
OFF_FASTER = 1.02  # than in air, where both are tried together
# With what a reading may be taken, roughest first: the roughest that proves the machine is asked for.
ROUGHEST_FIRST: tuple[Instrument | None, ...] = (
    None,
    Instrument("optical", "optical tachometer", "optical"),
    Instrument("checked", "checked tachometer, good to 0.1 %", "optical", accuracy=0.001, resolution=1 / 60),
)


@dataclass(frozen=True, slots=True)
class Take:
    """One reading to take: the band it passes in, and the limits it is for, by member; the maker's figure by name."""

    band: Band
    limits: tuple[str, ...]


def takes(bench: Bench, ways: Sequence[Sequence[Way]]) -> tuple[Take, ...]:
    """The fewest readings of the first set of ways that prove the machine; none where none of them does."""
    for together in ways:
        reaches = [(way, bench.reaches(way)) for way in together]
        for count in range(1, min(len(reaches), MOST) + 1):
            for chosen in combinations(reaches, count):
                found = _proven(bench, chosen)
                if found:
                    return found
    return ()


def ways_of(
    bench: Bench, *, instrument: Instrument | None = None, stated_u: float | None = None
) -> tuple[tuple[Way, ...], ...]:
    """Every kind of reading this machine allows, with what was named, else with each instrument in turn."""
    tools = [instrument] if instrument or stated_u else ROUGHEST_FIRST
    return tuple(tuple(_ways(bench, one, stated_u)) for one in tools)


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
    ratio = [ratios(bench.machine, of=way.shaft)[0].value.value for way, _ in chosen]
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
            return tuple(
                _taken(bench, ways, speeds, place, spans[place], said[place]) for place in range(len(ways))
            )
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
    """Readings that go together, each in its own span: those of one engine speed after the other."""
    if len(ways) == 1:
        yield from ([speed] for speed in within(*spans[0]))
        return
    ratio = [ratios(bench.machine, of=way.shaft)[0].value.value for way in ways]
    tops = [span[1] / by for span, by in zip(spans, ratio, strict=True) if math.isfinite(span[1])]
    lows = [span[0] / by for span, by in zip(spans, ratio, strict=True) if math.isfinite(span[0])]
    top = min(tops, default=100.0)
    low = min(max(lows, default=0.8 * top), top)
    for place in range(PLACES):
        engine = (low + top) / 2 + (top - low) / 2 * (-1) ** place * place / PLACES
        speeds = []
        for way, span, by in zip(ways, spans, ratio, strict=True):
            faster = OFF_FASTER if way.condition == "blades off" else 1.0
            speeds.append(min(max(engine * by * faster, span[0]), span[1]))
        yield speeds


def _taken(
    bench: Bench,
    ways: Sequence[Way],
    speeds: Sequence[float],
    place: int,
    span: Span,
    limits: Sequence[str],
) -> Take:
    """One of them with the band it passes in beside the others."""

    def passes(speed: float) -> bool:
        tried = [speed if at == place else known for at, known in enumerate(speeds)]
        return bench.passes(*zip(ways, tried, strict=True))

    return Take(ends(passes, ways[place], speeds[place], guess=span), tuple(dict.fromkeys(limits)))
