"""How fast is the drive search? Against plain NumPy enumeration, against a constraint solver, and as stock grows.

Run with `python -m benchmarks.belts`. All contenders get the same stock and the same constraints, and their
answers are compared before their times are.
"""

import math
import statistics
import time
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import Any

import numpy as np

from snath.decisions.drive.belt import Belt
from snath.decisions.drive.positions import BeltChoice, Choice, Position
from snath.decisions.drive.problem import Candidate, Problem
from snath.decisions.drive.rank import front, vectors
from snath.decisions.drive.search import search
from snath.decisions.drive.shelf import kinds
from snath.decisions.drive.speeds import speeds_for
from snath.decisions.drive.tables import tables_for
from snath.formulas.belts.ways import Slot

IN = 0.0254
OFFSET = 0.250 * IN
REPEATS = 5


def main() -> None:
    """Print the three tables."""
    print("One pair: 200 x 200 sheaves x 300 belts, every constraint, the whole front")
    problem = pair(np.random.default_rng(1), sheaves=200, belts=300)
    ours, theirs = search(problem), numpy_pair(problem)
    assert rows_of(ours.candidates) == theirs, "the two answers differ"
    fast, slow = median(lambda: search(problem)), median(lambda: numpy_pair(problem))
    print(f"  this search        {fast * 1000:9.1f} ms   {len(ours.candidates)} drives on the front")
    print(f"  NumPy enumeration  {slow * 1000:9.1f} ms   ratio {slow / fast:.1f}")

    print("\nThree spindles and an idler: 200 sheaves, 300 belts")
    problem = deck(np.random.default_rng(2), sheaves=200, belts=300)
    found = search(problem)
    fast = median(lambda: search(problem))
    print(
        f"  this search, whole front   {fast:8.3f} s   {found.looked_at:,} drives looked at, "
        f"{len(found.candidates)} on the front, exhaustive: {found.exhaustive}"
    )
    plain = replace(problem, positions=tuple(replace(position, power=0.0) for position in problem.positions))
    found = search(plain)
    goal = min(c.price for c in found.candidates)
    fast = median(lambda: search(plain))
    started = time.perf_counter()
    solved, proved = cp_sat(plain)
    slow = time.perf_counter() - started
    print("  the same without grip, as the solver's model has no exponential in it:")
    print(f"  this search, whole front   {fast:8.3f} s   cheapest {goal:.2f}")
    print(f"  CP-SAT, the cheapest alone {slow:8.3f} s   cheapest {solved:.2f}, proved: {proved}")
    print(f"  ratio {slow / fast:.1f}, for one point of the front against all of it")
    assert not proved or math.isclose(solved, goal), "the two answers differ"

    print("\nGrowth with the stock (median s)")
    print(f"  {'sheaves':>8} {'belts':>6} {'one pair':>10} {'three spindles':>15}")
    for sheaves, belts in ((25, 40), (50, 75), (100, 150), (200, 300), (400, 600)):
        one = pair(np.random.default_rng(3), sheaves=sheaves, belts=belts)
        three = deck(np.random.default_rng(4), sheaves=sheaves, belts=belts)
        times = median(partial(search, one), 3), median(partial(search, three), 3)
        print(f"  {sheaves:>8} {belts:>6} {times[0]:>10.4f} {times[1]:>15.3f}")

    print(
        "\nThree spindles, 200 sheaves, 300 belts: the wider the blades' speeds may be, the more there is to look at"
    )
    for floor in (50.0, 45.0, 40.0, 35.0):
        wide = replace(
            problem,
            positions=tuple(
                replace(p, floor=floor if p.limit < math.inf else 0.0) for p in problem.positions
            ),
        )
        found = search(wide)
        took = median(partial(search, wide), 1)
        print(
            f"  from {floor / 58:.0%} of the limit   {took:8.3f} s   {found.looked_at:>10,} drives looked at"
        )


def median(run: Callable[[], Any], repeats: int = REPEATS) -> float:
    """Median wall time of a call. [s]"""
    times = []
    for _ in range(repeats):
        started = time.perf_counter()
        run()
        times.append(time.perf_counter() - started)
    return statistics.median(times)


# --- the stock: sizes in steps of 0.05 in, prices that grow with size and scatter ------------------


def shelf(
    rng: np.random.Generator, count: int, low: float, high: float, first: int = 0
) -> tuple[Choice, ...]:
    """Sheaves of random size."""
    sizes = np.round(rng.uniform(low, high, count) / 0.05) * 0.05
    return tuple(
        Choice(
            float(s) * IN,
            OFFSET,
            "A",
            first + i,
            str(first + i),
            price=round(float(4 + s + rng.uniform(0, 6)), 2),
            changed=True,
            count=4,  # the solver's model does not count pieces
        )
        for i, s in enumerate(sizes)
    )


def hangers(rng: np.random.Generator, count: int, low: float, high: float) -> tuple[BeltChoice, ...]:
    """Belts of random length."""
    found = []
    for i, length in enumerate(np.round(rng.uniform(low, high, count), 4)):
        belt = Belt(f"belt {i}", "A", float(length), 0.005, "datum")
        found.append(BeltChoice(belt, i, str(i), price=round(float(8 + rng.uniform(0, 12)), 2), changed=True))
    return tuple(found)


def pair(rng: np.random.Generator, *, sheaves: int, belts: int) -> Problem:
    """An engine and a blade shaft in a slot."""
    driver, driven = shelf(rng, sheaves, 2.5, 6.0), shelf(rng, sheaves, 3.0, 8.0, first=sheaves)
    blade = Position(
        "blade", 0.4, 0, "groove", driven, "blade", limit=56.0, floor=48.0, power=4000, ratio_now=0.8
    )
    return Problem(
        positions=(Position("engine", 0, 0, "groove", driver, "crankshaft"), blade),
        belts=hangers(rng, belts, 1.0, 1.4),
        moving="blade",
        way=Slot((0.36, 0.0), (0.46, 0.0)),
        clockwise=False,
        speed=60.0,
        least_wrap=math.radians(150),
        slack_pull=200.0,
        mass=0.0967,
    )


def deck(rng: np.random.Generator, *, sheaves: int, belts: int) -> Problem:
    """Engine, three spindles and a back-side idler; every sheave of the stock fits every shaft."""
    stock = shelf(rng, sheaves, 3.0, 7.0)
    where = (("right", 0.42, 0.30), ("middle", 0.0, 0.60), ("left", -0.42, 0.30))
    spindles = tuple(
        Position(n, x, y, "groove", stock, n, limit=58.0, floor=50.0, power=1500, ratio_now=0.9)
        for n, x, y in where
    )
    return Problem(
        positions=(
            Position("engine", 0, 0, "groove", stock, "crankshaft"),
            *spindles,
            Position("idler", 0, 0, "flat back", (Choice(3 * IN, 0.0),)),
        ),
        belts=hangers(rng, belts, 2.30, 2.75),
        moving="idler",
        way=Slot((-0.24, 0.12), (-0.15, 0.28)),
        clockwise=False,
        speed=60.0,
        least_wrap=math.radians(60),
        slack_pull=250.0,
        mass=0.0967,
    )


# --- contender one: all drives in one array --------------------------------------------------------


def rows_of(candidates: tuple[Candidate, ...]) -> list[tuple[float, ...]]:
    """The front's figures, sorted."""
    rows = [(float(c.changed), round(-c.margin, 9), round(-c.grip, 9), round(c.price, 9)) for c in candidates]
    return sorted(rows)


def numpy_pair(problem: Problem) -> list[tuple[float, ...]]:
    """The front of a pair by working out every constraint for every sheave, sheave and belt."""
    engine, blade = problem.positions
    d, o = np.array([[c.outside, c.offset] for c in engine.choices]).T
    e, p = np.array([[c.outside, c.offset] for c in blade.choices]).T
    length = np.array([b.belt.length for b in problem.belts])
    off = np.array([b.belt.tolerance for b in problem.belts])
    price = np.array([b.price for b in problem.belts])
    one, other = d[:, None] / e, (d - o)[:, None] / (e - p)
    fast, slow = np.maximum(one, other) * problem.speed, np.minimum(one, other) * problem.speed
    small, large = (d - o)[:, None], (e - p)[None, :]
    lengths, least = [], np.full(one.shape, np.inf)
    clear = np.ones(one.shape, bool)
    for end in (0.0, 1.0):
        apart = problem.way.at(end)[0]
        lean = np.arcsin(np.clip((small - large) / (2 * apart), -1, 1))
        wraps = np.pi + 2 * lean, np.pi - 2 * lean
        lengths.append(
            2 * np.sqrt(np.maximum(apart**2 - ((small - large) / 2) ** 2, 0))
            + (small * wraps[0] + large * wraps[1]) / 2
        )
        least = np.minimum(least, np.minimum(*wraps)) if end else np.minimum(*wraps)
        clear &= apart > (d[:, None] + e) / 2 + problem.clearance
    wrap_engine = np.minimum(
        *[np.pi + 2 * np.arcsin((small - large) / (2 * problem.way.at(k)[0])) for k in (0.0, 1.0)]
    )
    wrap_blade = np.minimum(
        *[np.pi - 2 * np.arcsin((small - large) / (2 * problem.way.at(k)[0])) for k in (0.0, 1.0)]
    )
    line = np.pi * (d - o)[:, None] * problem.speed
    start = problem.slack_pull - problem.mass * line**2
    pull = blade.power * (one / blade.ratio_now) ** 3 / line
    grip = np.minimum(
        *[
            np.maximum(start, 0) * (np.exp(problem.friction * w) - 1) / pull - 1
            for w in (wrap_engine, wrap_blade)
        ]
    )
    fits = (
        clear[:, :, None]
        & (fast <= blade.limit)[:, :, None]
        & (slow >= blade.floor)[:, :, None]
        & (wrap_engine >= problem.least_wrap)[:, :, None]
        & (wrap_blade >= problem.least_wrap)[:, :, None]
        & (lengths[0][:, :, None] <= length - off)
        & ((length + off) * (1 + problem.stretch) <= lengths[1][:, :, None])
    )
    i, j, k = np.nonzero(fits)
    cost = (
        np.array([c.price for c in engine.choices])[i]
        + np.array([c.price for c in blade.choices])[j]
        + price[k]
    )
    rows = vectors(np.full(len(i), 3.0), (blade.limit / fast - 1)[i, j], grip[i, j], cost)
    best = np.unique(rows[front(rows)], axis=0)
    return sorted(tuple(row) for row in best.tolist())


# --- contender two: a constraint solver on the same model ------------------------------------------


SCALE = 1_000_000  # lengths in micrometres, angles in microradians


def cp_sat(problem: Problem, *, seconds: float = 120.0) -> tuple[float, bool]:
    """Price of the cheapest drive that meets every hard constraint, and whether that was proved.

    Runs and directions of neighbours are tables; wraps are differences of directions; the length is a sum
    over runs of S + (rho_i - rho_j) phi, so the model is linear over table look-ups.
    """
    from ortools.sat.python import cp_model

    (kind,) = kinds(problem)
    tables = tables_for(problem, kind.choices, depth=kind.depth, section=kind.section)
    speeds = speeds_for(problem, kind.choices)
    model = cp_model.CpModel()
    positions = problem.positions
    pick = [
        model.new_int_var(0, len(row) - 1, position.name)
        for position, row in zip(positions, kind.choices, strict=True)
    ]
    for i in speeds.loaded:
        good = speeds.passes[i] & tables.clear[0, i]
        model.add_allowed_assignments([pick[0], pick[i]], np.argwhere(good).tolist())
    for (i, j), clear in tables.clear.items():
        if i and not clear.all():
            model.add_allowed_assignments([pick[i], pick[j]], np.argwhere(clear).tolist())
    signed = [-r if b else r for r, b in zip(tables.radius, tables.back, strict=True)]
    order = list(tables.order)
    ways = []
    for runs in tables.runs:
        part, phi = [], []
        for run, i, j in zip(runs, order, (*order[1:], order[0]), strict=True):
            flat = model.new_int_var(0, run.length.size - 1, "")
            model.add(flat == pick[i] * run.length.shape[1] + pick[j])
            share = run.length + (signed[i][:, None] - signed[j]) * run.direction
            part.append(_element(model, flat, share))
            phi.append(_element(model, flat, run.direction))
        turns = _branches(tables, runs)
        extra = []
        for place, i in enumerate(order):
            wrap = phi[place] - phi[place - 1] + round(turns[place] * 2 * math.pi * SCALE)
            wrap = -wrap if tables.back[i] else wrap
            if positions[i].loaded:
                model.add(wrap >= math.ceil(problem.least_wrap * SCALE))
            else:
                model.add(wrap >= 1)
            if turns[place]:
                around = (signed[i] * turns[place] * 2 * math.pi * SCALE).round().astype(int).tolist()
                value = model.new_int_var(min(around), max(around), "")
                model.add_element(pick[i], around, value)
                extra.append(value)
        ways.append(sum(part) + sum(extra))
    belt = model.new_int_var(0, len(kind.belts) - 1, "belt")
    short = [round((b.belt.length - b.belt.tolerance) * SCALE) for b in kind.belts]
    long = [round((b.belt.length + b.belt.tolerance) * (1 + problem.stretch) * SCALE) for b in kind.belts]
    for way, values, below in ((ways[0], short, True), (ways[1], long, False)):
        end = model.new_int_var(min(values), max(values), "")
        model.add_element(belt, values, end)
        model.add(way <= end) if below else model.add(end <= way)
    costs = []
    for variable, values in [
        (p, [round(c.price * 100) for c in row]) for p, row in zip(pick, kind.choices, strict=True)
    ]:
        cost = model.new_int_var(0, max(values), "")
        model.add_element(variable, values, cost)
        costs.append(cost)
    prices = [round(b.price * 100) for b in kind.belts]
    cost = model.new_int_var(0, max(prices), "")
    model.add_element(belt, prices, cost)
    model.minimize(sum(costs) + cost)
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = 2
    status = solver.solve(model)
    return solver.objective_value / 100, status == cp_model.OPTIMAL


def _element(model: Any, index: Any, values: Any) -> Any:
    whole = (values * SCALE).round().astype(int).ravel().tolist()
    found = model.new_int_var(min(whole), max(whole), "")
    model.add_element(index, whole, found)
    return found


def _branches(tables: Any, runs: Any) -> list[int]:
    """By how many whole turns each difference of directions has to be mended; the same for all choices here."""
    found = []
    for place, i in enumerate(tables.order):
        before, after = runs[place - 1].direction[0, 0], runs[place].direction[0, 0]
        step = -(after - before) if tables.back[i] else after - before
        whole = round(((step % (2 * math.pi)) - step) / (2 * math.pi))
        found.append(-whole if tables.back[i] else whole)
    return found


if __name__ == "__main__":
    main()
