"""Count, in each situation of tests/cases/situations, how often a machine that stands exactly on a limit passes.

Every limit that can bind is met in turn, in its worst alternative, its sizes drawn within what the sheet says. An
assumed instrument stands at its worse end, a checked one is drawn within its plate; a second condition runs as far
off as the droop lets it. Somebody reads what `take` asks for, in turn, with one to three instruments, up to ten times,
and stops at the first pass. Bound: 5 %, by the one-sided 99 % lower bound.
"""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from benchmarks import _looking
from benchmarks.kept import share_of, table
from benchmarks.looks import LOOKS, MOST, RPM, told
from snath.decisions.reading.assumed import assumed
from snath.decisions.reading.instruments import Instrument
from snath.decisions.verdict.band import Bench, Way
from snath.decisions.verdict.claims import lines_of, wanted_condition
from snath.decisions.verdict.conditions import span
from snath.decisions.verdict.pools import Tools
from snath.decisions.verdict.take import takes, ways_of
from snath.decisions.window.limits import limits_of
from snath.decisions.window.propagate import limits_at_shaft
from snath.decisions.window.window import Bound
from tests.situations import TODAY, Situation, instrument, situations

RUNS = 2_000
SCATTERS = (5.0, 15.0, 30.0)
NEAR = 1.06  # times the tightest limit: what lies beyond it cannot pass before the tighter one is broken
# With one to three instruments in turn; a speed beside a kind is what the reader stands for. [rpm]
SHELVES: dict[str, tuple[tuple[str, str, float], ...]] = {
    "checked": (("checked", "optical", 1.0),),
    "unknown": (("unknown", "other", 1.0),),
    "reed, contact": (("unknown", "reed", 10.0), ("unknown", "contact", 1.0)),
    "bought, overdue, checked": (
        ("as bought", "optical", 1.0),
        ("overdue", "contact", 1.0),
        ("checked", "inductive", 10.0),
    ),
}


@dataclass(frozen=True)
class Scene:
    """One machine, one limit it stands on, one shelf of instruments, one scatter. [rpm]"""

    what: str
    asked: _looking.Asked
    shelf: str
    scatter: float


def benches(situation: Situation, shelf: str) -> tuple[Bench, tuple[Instrument, ...]]:
    """What the machine is judged by, without its maker's figure, which would keep wrong passes away by itself."""
    job = situation.job()
    machine = replace(job.machine, engine=replace(job.machine.engine, maker_no_load=None))
    tools = tuple(instrument(*one) for one in SHELVES[shelf])
    limits = limits_of(machine, job.rules, market=job.market, only=job.only_rule)
    return Bench(machine, limits, job.decision, Tools(tools, TODAY)), tools


def scenes(situation: Situation) -> Iterator[Scene]:
    """Every case of it that is counted."""
    for shelf in SHELVES:
        bench, tools = benches(situation, shelf)
        if not bench.limits:
            continue
        ways = _ways(bench, tools)
        looks = tuple(
            replace(ways[look % len(ways)], instrument=tools[look // len(ways) % len(tools)])
            for look in range(max(LOOKS, len(ways) * len(tools)))
        )
        for limit in sorted(_binding(bench)):
            for scatter in SCATTERS:
                yield Scene(situation.what, _looking.Asked(bench, limit, looks), shelf, scatter)


def _ways(bench: Bench, tools: tuple[Instrument, ...]) -> list[Way]:
    """What `take` asks for with the first of them that proves it; else one reading in air."""
    for tool in tools:
        found = [one.band.way for one in takes(bench, ways_of(bench, instrument=tool))]
        if found := [way for way in found if way.condition != "idle"]:
            return found
    return [Way()]


def _binding(bench: Bench) -> set[_looking.Item]:
    """Limits judged at no load that lie near the tightest of their side, as crankshaft speeds in air."""
    bounds = limits_at_shaft(bench.machine, bench.limits, explained=False)
    found: dict[str, dict[_looking.Item, float]] = {"ceiling": {}, "floor": {}}
    for bound in bounds:
        if bound.applies_to == "sustained" and False in lines_of(bound):
            key = (bound.member, bound.rule, bound.side, bound.kind)
            speed = bound.engine.value / _worse(bench, bound, Way())
            worst = min if bound.side == "ceiling" else max
            found[bound.side][key] = worst(found[bound.side].get(key, speed), speed)
    ceilings, floors = found["ceiling"], found["floor"]
    tightest = min(ceilings.values(), default=math.inf)
    return {key for key, speed in ceilings.items() if speed <= NEAR * tightest} | {
        key for key, speed in floors.items() if NEAR * speed >= max(floors.values())
    }


def _worse(bench: Bench, bound: Bound, way: Way) -> float:
    """What the limit's own condition may be of the one read, at its worse end; 1 where nothing bounds it."""
    wanted = wanted_condition(bench.machine, bound, under_load=False)
    slower, faster = span(bench.machine.engine, read=way.condition, wanted=wanted, hunts=False)
    factor = faster if bound.side == "ceiling" else slower
    return factor if 0 < factor < math.inf else 1.0


def shown(scene: Scene, runs: int, rng: np.random.Generator) -> np.ndarray:
    """Displayed speeds of each of so many machines on their limit. [rev/s]"""
    asked, sign = scene.asked, 1 if scene.asked.limit[2] == "ceiling" else -1
    causes: dict[str, np.ndarray] = {}
    offs: dict[str, np.ndarray] = {}
    columns = []
    for way in asked.looks:
        bound = _worst(asked, way.shaft)
        true = bound.believed.value + sum(
            line.u * _drawn(causes, line.source, line.distribution, runs, rng) for line in bound.engine.lines
        )
        true = true / _worse(asked.bench, bound, way)
        assert way.instrument is not None
        tool = way.instrument
        if tool.id not in offs:
            offs[tool.id] = _off(tool, float(np.mean(true)), sign, runs, rng)
        seen = true * offs[tool.id] + rng.normal(0, scene.scatter * RPM, runs)
        columns.append(np.round(seen / tool.resolution) * tool.resolution)
    return np.stack(columns, axis=1)


def _worst(asked: _looking.Asked, shaft: str) -> Bound:
    """The limit at a shaft, in the alternative that leaves least room."""
    bounds = limits_at_shaft(asked.bench.machine, asked.bench.limits, to=shaft, explained=False)
    mine = [one for one in bounds if (one.member, one.rule, one.side, one.kind) == asked.limit]
    worst: Callable[..., Bound] = min if asked.limit[2] == "ceiling" else max
    return worst(mine, key=lambda one: one.believed.value)


def _drawn(
    causes: dict[str, np.ndarray], source: str, shape: str, runs: int, rng: np.random.Generator
) -> np.ndarray:
    """A cause of unit deviation, the same wherever it enters."""
    if source not in causes:
        flat = shape == "rectangular"
        causes[source] = rng.uniform(-(3**0.5), 3**0.5, runs) if flat else rng.normal(0, 1, runs)
    return causes[source]


def _off(tool: Instrument, speed: float, sign: int, runs: int, rng: np.random.Generator) -> np.ndarray:
    """What it shows over what is true: an assumed one at its worse end, a checked one within its plate."""
    taken = assumed(tool, speed=speed, on=TODAY)
    if taken is None:
        return 1 + rng.uniform(-tool.accuracy, tool.accuracy, runs)
    return np.full(runs, 1 / (1 + sign * taken.half_width / speed))


def row(scene: Scene, runs: int, seed: int) -> dict[str, Any]:
    """Shares that pass in one case, and whether their lower bounds keep the promise."""
    found = _looking.passes(scene.asked, shown(scene, runs, np.random.default_rng(seed)))
    return {
        "situation": scene.what[:60],
        "on its limit": f"{scene.asked.limit[0]} {scene.asked.limit[2]}",
        "read with": scene.shelf,
        "scatter": f"{scene.scatter:.0f}",
        **told(found, runs),
    }


def main() -> None:
    """Print every case in which anything passes, and how many there were."""
    runs = share_of(RUNS)
    seed = int(np.random.SeedSequence().entropy) % 2**31
    print(f"{runs} runs a case, seed {seed}; share that passes with the truth on the limit")
    cases = [
        scene
        for situation in situations()
        if "refused" not in situation.expect
        for scene in scenes(situation)
    ]
    rows = []
    for place, scene in enumerate(cases):
        rows.append(row(scene, runs, seed + place))
        print(f"{place + 1}/{len(cases)} {list(rows[-1].values())}", flush=True)
    passed = [one for one in rows if one["first pass"] != "0.0%"]
    table(list(rows[0]), [list(one.values()) for one in passed])
    print(f"cases beyond {MOST:.0%}: {sum(one['kept'] == 'NO' for one in rows)} of {len(rows)}")


if __name__ == "__main__":
    main()
