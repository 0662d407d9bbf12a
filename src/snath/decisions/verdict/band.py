"""Find the one band to set in: every reading inside it passes, none outside, by turning the verdict round."""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from snath.decisions.machine.drivetrain import speed_ratios
from snath.decisions.machine.parts import CRANKSHAFT, Condition, Machine
from snath.decisions.reading.instruments import Instrument
from snath.decisions.reading.reading import Reading
from snath.decisions.reading.typed import typed_reading
from snath.decisions.verdict.conditions import Span
from snath.decisions.verdict.decide import case_of, claims_of, judge
from snath.decisions.verdict.maker import figure_condition, figure_reach
from snath.decisions.verdict.pools import Tools
from snath.decisions.window.limits import Limit
from snath.quantities.errors import InputError

CLOSE = 1e-8  # rev/s; half of what an end of a band is known to
TURNS = 6  # a reading's own doubt depends on its figure: so often the edges are worked out again
START = 50.0  # rev/s; where that begins
FIGURE = ("maker's figure",)

Item = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Way:
    """How one reading is to be taken.

    Attributes
    ----------
    shaft, condition : str
    instrument : Instrument or None
        None where nobody said with what.
    stated_u : float or None
        Standard uncertainty the reader stands for. [rev/s]
    """

    shaft: str = CRANKSHAFT
    condition: Condition = "blades in air"
    instrument: Instrument | None = None
    stated_u: float | None = None

    def reading(self, speed: float) -> Reading:
        """One displayed speed, read in this way. [rev/s]"""
        return typed_reading(
            [speed],
            shaft=self.shaft,
            condition=self.condition,
            instrument=self.instrument,
            stated_u=self.stated_u,
        )


@dataclass(frozen=True, slots=True)
class Band:
    """Readings that pass.

    Attributes
    ----------
    way : Way
        How they are taken.
    low, high : float or None, float
        Ends, both inside; without a low end every slower reading passes, too. [rev/s]
    target : float or None
        What to aim for; None where nobody gives a figure: a ceiling is no setting. [rev/s]
    target_from : str
        "maker", "nearest to the maker's", "shop" or empty.
    """

    way: Way
    low: float | None
    high: float
    target: float | None = None
    target_from: str = ""


@dataclass(frozen=True, slots=True)
class Bench:
    """What a machine is judged by, whatever is read of it; `beside` are readings that are always there, too.

    `rise` and `hunts` are what its governor shows, as in `judge`.
    """

    machine: Machine
    limits: tuple[Limit, ...]
    decision: str
    tools: Tools
    beside: tuple[tuple[Way, float], ...] = ()
    rise: float = 0.0
    hunts: bool = False

    def passes(self, *readings: tuple[Way, float], at_work: bool = False) -> bool:
        """Whether these readings of one setting pass, and `at_work` also show the speed its work needs. [rev/s]"""
        try:
            taken = [way.reading(speed) for way, speed in (*readings, *self.beside)]
        except InputError:
            return False  # no speed an engine runs at
        found = judge(
            self.machine,
            self.limits,
            taken,
            tools=self.tools,
            decision=self.decision,
            rise=self.rise,
            hunts=self.hunts,
        )
        return found.word == "pass" and not (at_work and found.work not in ("", "enough"))

    def reaches(self, way: Way, *, looked: bool = False) -> dict[Item, Span]:
        """For every limit, and the maker's figure, the readings of that kind that clear it; `looked` as in `pools`."""
        speed, found = START, dict[Item, Span]()
        for _ in range(TURNS):
            case = case_of(
                self.machine,
                self.limits,
                [way.reading(speed)],
                tools=self.tools,
                decision=self.decision,
                rise=self.rise,
                looked=looked,
            )
            found = {}
            for one in (group[0] for group in claims_of(case)):
                if one.under_load:
                    continue
                key = (one.bound.member, one.bound.rule, one.bound.side, one.bound.kind)
                span = (
                    (-math.inf, one.pass_edge) if one.bound.side == "ceiling" else (one.pass_edge, math.inf)
                )
                found[key] = span if one.clears else (math.inf, -math.inf)
            figure = self.machine.engine.maker_no_load
            if figure is not None:
                found[FIGURE] = figure_reach(self.machine, figure, shaft=way.shaft, condition=way.condition)
            high = min((span[1] for span in found.values() if math.isfinite(span[1])), default=speed)
            speed = min(max(high, 1.0), 900.0)
        return found


def band(bench: Bench, way: Way, *, at_work: bool = False) -> Band | None:
    """The band for one reading taken that way; None where no reading of that kind passes, or also does its work."""
    spans = bench.reaches(way).values()
    low = max((one[0] for one in spans), default=-math.inf)
    high = min((one[1] for one in spans), default=math.inf)
    for inside in within(low, high):
        if bench.passes((way, inside), at_work=at_work):
            return ends(
                lambda speed: bench.passes((way, speed), at_work=at_work), way, inside, guess=(low, high)
            )
    return None


def within(low: float, high: float) -> Iterator[float]:
    """Speeds inside an interval, its middle first, then nearer to its high end; none where it is empty."""
    if low <= high and math.isfinite(high):
        reach = high - low if math.isfinite(low) else 0.04 * high
        yield from (high - reach * part for part in (0.5, 0.1, 0.01, 1e-3, 1e-5, 0.0))


def ends(passes: Callable[[float], bool], way: Way, inside: float, *, guess: Span) -> Band:
    """The band around a speed that passes; `guess` is where its ends look to be. [rev/s]"""
    low = _end(passes, inside, inside / 8, guess[0])
    return Band(way, low, _end(passes, inside, 4 * inside, guess[1]) or inside)


def aimed(found: Band, machine: Machine, *, step: float, aim: float | None = None) -> Band:
    """The band with what to aim for: the maker's figure, else the band's nearest speed to it less a setting step.

    Without a figure of the maker's the shop's own `aim` [rev/s] stands, where the band holds it.
    """
    figure = machine.engine.maker_no_load
    low = found.low or 0.0
    if figure is not None and figure_condition(machine, figure) == found.way.condition:
        wanted = figure.rev_s * speed_ratios(machine, of=found.way.shaft)[0].value.value
        if low <= wanted <= found.high:
            return replace(found, target=wanted, target_from="maker")
        inward = min(step, (found.high - low) / 2)
        nearest = found.high - inward if wanted > found.high else low + inward
        return replace(found, target=nearest, target_from="nearest to the maker's")
    if aim is not None and low <= aim <= found.high:
        return replace(found, target=aim, target_from="shop")
    return found


def _end(passes: Callable[[float], bool], inside: float, outside: float, guess: float) -> float | None:
    """The last speed from `inside` towards `outside` that passes; None where all of them do."""
    if passes(outside):
        return None
    if math.isfinite(guess) and min(inside, outside) < guess < max(inside, outside):
        for speed in (
            guess - math.copysign(CLOSE, outside - inside),
            guess + math.copysign(CLOSE, outside - inside),
        ):
            if passes(speed):
                inside = speed
            else:
                outside = speed
                break
    while abs(outside - inside) > 2 * CLOSE:
        middle = (inside + outside) / 2
        if passes(middle):
            inside = middle
        else:
            outside = middle
    return inside
