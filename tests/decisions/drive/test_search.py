"""The search against counting everything: the same drives, the same figures, the same number of ties."""

import math
from itertools import product

import numpy as np
import pytest

from snath.decisions.drive.belt import Belt
from snath.decisions.drive.positions import BeltChoice, Choice, Position
from snath.decisions.drive.problem import Problem
from snath.decisions.drive.search import search
from snath.decisions.drive.tables import TURN, _most_turn
from snath.formulas.belts.loop import Pulley
from snath.formulas.belts.route import lay
from snath.formulas.belts.ways import Arm, Slot
from snath.quantities.errors import InputError

IN = 0.0254
OFFSET = {"A": 0.250 * IN, "B": 0.350 * IN}
DEPTH = {"A": 0.125 * IN, "B": 0.175 * IN}


# --- the other road: every sheave at every place with every belt, one at a time -------------------


def counted(problem):
    """Vectors of the best drives and how many drives have each, by trying everything."""
    good = []
    for chosen in product(*(position.choices for position in problem.positions)):
        for belt in problem.belts:
            row = worked_out(problem, chosen, belt)
            if row is not None:
                good.append((tuple(round(x, 9) for x in row), chosen, belt))
    rows = [g[0] for g in good]
    best = {r for r in rows if not any(beats(o, r) for o in set(rows))}
    ties = {b: rows.count(b) for b in best}
    first = {
        b: min(((*(c.rank for c in chosen), belt.rank) for r, chosen, belt in good if r == b)) for b in best
    }
    return ties, first, len(good)


def beats(one, other):
    return one != other and all(a <= b for a, b in zip(one, other, strict=True))


def worked_out(problem, chosen, belt):
    numbers = [c.number for c in chosen if c.changed]
    if any(numbers.count(c.number) > c.count for c in chosen if c.changed):
        return None
    if any(c.section not in ("", belt.belt.section) for c in chosen):
        return None
    routes = []
    for end in (0.0, 1.0):
        pulleys = []
        for position, c in zip(problem.positions, chosen, strict=True):
            x, y = problem.way.at(end) if position.name == problem.moving else (position.x, position.y)
            depth = DEPTH[belt.belt.section] if belt.belt.line == "datum" else 0.0
            radius = c.outside / 2 + depth if position.contact == "flat back" else c.outside / 2 - depth
            pulleys.append(
                Pulley(position.name, x, y, radius, position.contact == "flat back", c.outside / 2)
            )
        for i, a in enumerate(pulleys):
            for b in pulleys[i + 1 :]:
                if math.hypot(a.x - b.x, a.y - b.y) <= a.body + b.body + problem.clearance:
                    return None
        try:
            routes.append(lay(tuple(pulleys), clockwise=problem.clockwise))
        except InputError:
            return None
    short = belt.belt.length - belt.belt.tolerance
    long = (belt.belt.length + belt.belt.tolerance) * (1 + problem.stretch)
    if not (routes[0].length <= short and long <= routes[1].length):
        return None
    engine = chosen[0]
    if engine.outside > problem.positions[0].room:
        return None
    if engine.cast and math.pi * engine.outside * problem.speed > problem.rim_speed:
        return None
    margin, plain, pulls = math.inf, [], []
    line = math.pi * (engine.outside - engine.offset) * problem.speed
    for position, c in list(zip(problem.positions, chosen, strict=True))[1:]:
        if not position.shaft:
            continue
        two = (engine.outside / c.outside, (engine.outside - engine.offset) / (c.outside - c.offset))
        fast, slow = max(two) * problem.speed, min(two) * problem.speed
        if fast > position.limit or slow < position.floor or c.outside > position.room:
            return None
        if c.cast and math.pi * c.outside * fast > problem.rim_speed:
            return None
        margin = min(margin, position.limit / fast - 1)
        plain.append(two[0])
        pulls.append((position.name, position.power * (two[0] / position.ratio_now) ** 3 / line))
    if problem.spread is not None and max(plain) > min(plain) * (1 + problem.spread):
        return None
    wraps = {p.name: min(r.wrap(p.name) for r in routes) for p in problem.positions}
    if any(wraps[p.name] < problem.least_wrap for p in problem.positions if p.shaft):
        return None
    start = run = problem.slack_pull - problem.mass * line**2
    grip = math.inf
    for name, pull in pulls:
        grip = min(grip, max(run, 0) * (math.exp(problem.friction * wraps[name]) - 1) / pull - 1)
        run += pull
    grip = min(grip, max(start, 0) * (math.exp(problem.friction * wraps["engine"]) - 1) / (run - start) - 1)
    changed = sum(c.changed for c in chosen) + belt.changed
    return changed, -margin, -grip, sum(c.price for c in chosen) + belt.price


# --- random stocks -------------------------------------------------------------------------------


def stock(rng, sizes, count, section="A", first=0):
    return tuple(
        Choice(
            outside=float(rng.choice(sizes)) * IN,
            offset=OFFSET[section],
            section=section,
            rank=first + i,
            number=str(first + i),
            price=float(rng.choice([5.0, 8.0, 12.5])),
            changed=True,
            count=int(rng.integers(1, 4)),
            cast=bool(rng.random() < 0.3),
        )
        for i in range(count)
    )


def belts(rng, low, high, count, section="A"):
    found = []
    for i in range(count):
        line = "datum" if rng.random() < 0.8 else "outside"
        length = float(np.round(rng.uniform(low, high), 3))
        belt = Belt(f"belt {i}", section, length, 0.004, line)
        found.append(
            BeltChoice(belt, rank=i, number=str(i), price=float(rng.choice([9.0, 15.0])), changed=True)
        )
    now = Belt("as it is", section, (low + high) / 2, 0.004, "datum")
    return (BeltChoice(now), *found)


def as_is(outside, section="A"):
    return Choice(outside * IN, OFFSET[section], section)


def pair_problem(rng):
    small, large = np.arange(3.0, 5.1, 0.25), np.arange(4.0, 7.1, 0.25)
    both = rng.random() < 0.4
    driver = (as_is(4.0), *stock(rng, small, 6), *(stock(rng, small, 3, "B", 20) if both else ()))
    blade = (as_is(5.0), *stock(rng, large, 6, first=40), *(stock(rng, large, 3, "B", 60) if both else ()))
    some = belts(rng, 1.05, 1.25, 6)
    if both:
        some += belts(rng, 1.05, 1.25, 3, "B")[1:]
    return Problem(
        positions=(
            Position("engine", 0, 0, "groove", driver, shaft="crankshaft", room=4.8 * IN),
            Position(
                "blade",
                0.4,
                0,
                "groove",
                blade,
                shaft="blade",
                limit=56.0,
                floor=38.0,
                power=3000,
                ratio_now=0.8,
            ),
        ),
        belts=some,
        moving="blade",
        way=Slot((0.36, 0.0), (0.46, 0.0)),
        clockwise=bool(rng.random() < 0.5),
        speed=60.0,
        least_wrap=math.radians(rng.choice([150.0, 168.0, 174.0])),
        stretch=0.005,
        slack_pull=120.0,
        mass=0.0967,
    )


def deck_problem(rng):
    clockwise = bool(rng.random() < 0.5)
    sizes = np.arange(4.0, 6.6, 0.5)
    names = ["left", "middle", "right"]
    places = [(-0.42, 0.30), (0.0, 0.60), (0.42, 0.30)]
    shared = stock(rng, sizes, 3)
    spindles = [
        Position(n, *at, "groove", (as_is(5.0), *shared), shaft=n, limit=58.0, floor=30.0, power=1500,
             ratio_now=0.9, room=6.2 * IN)
        for n, at in zip(names, places, strict=True)
    ]  # fmt: skip
    engine = Position(
        "engine",
        0,
        0,
        "groove",
        (as_is(4.5), *stock(rng, np.arange(3.5, 5.6, 0.25), 3, first=40)),
        shaft="crankshaft",
    )
    idler = Position("idler", 0, 0, "flat back", (Choice(3.0 * IN, 0.0),))
    # counter-clockwise as drawn: engine, right, middle, left, idler on the run back to the engine
    order = (engine, spindles[2], spindles[1], spindles[0], idler)
    way = Slot((-0.24, 0.12), (-0.15, 0.28))
    if clockwise:  # the same drive mirrored left to right
        mirrored = [
            Position(
                p.name,
                -p.x,
                p.y,
                p.contact,
                p.choices,
                p.shaft,
                p.room,
                p.limit,
                p.floor,
                p.power,
                p.ratio_now,
            )
            for p in order
        ]
        order, way = tuple(mirrored), Slot((0.24, 0.12), (0.15, 0.28))
    if rng.random() < 0.3:
        way = Arm((-0.02, 0.13), 0.23, math.radians(182), math.radians(130)) if not clockwise else way
    return Problem(
        positions=order,
        belts=belts(rng, 2.42, 2.62, 5),
        moving="idler",
        way=way,
        clockwise=clockwise,
        speed=60.0,
        least_wrap=math.radians(rng.choice([60.0, 60.0, 68.0])),
        stretch=0.005,
        spread=float(rng.choice([0.05, 0.2])) if rng.random() < 0.5 else None,
        slack_pull=250.0,
        mass=0.0967 if rng.random() < 0.5 else 0.0,
    )


def assert_the_same(problem):
    ties, first, good = counted(problem)
    found = search(problem)
    assert found.exhaustive
    vector = {
        (c.changed, round(-c.margin, 9), round(-c.grip, 9), round(c.price, 9)): c for c in found.candidates
    }
    assert set(vector) == set(ties)
    for row, candidate in vector.items():
        assert candidate.ties == ties[row]
        assert (*(c.rank for c in candidate.choices), candidate.belt.rank) == first[row]
    return good


@pytest.mark.parametrize("seed", range(120))
def test_one_pair_from_a_small_random_stock(seed):
    # Another road: `counted`.
    assert_the_same(pair_problem(np.random.default_rng(seed)))


@pytest.mark.parametrize("seed", range(80))
def test_three_spindles_and_an_idler_from_a_small_random_stock(seed):
    # Another road: `counted`.
    assert_the_same(deck_problem(np.random.default_rng(1000 + seed)))


def test_the_random_stocks_hold_drives_that_fit_and_drives_that_do_not():
    # Property of the tests above: without it they would compare nothing with nothing.
    pairs = [counted(pair_problem(np.random.default_rng(s)))[2] for s in range(0, 120, 6)]
    decks = [counted(deck_problem(np.random.default_rng(1000 + s)))[2] for s in range(0, 80, 10)]
    assert sum(n > 0 for n in pairs) > len(pairs) / 2
    assert sum(n > 0 for n in decks) > len(decks) / 2


def test_a_search_that_hits_its_limit_says_so():
    found = search(pair_problem(np.random.default_rng(0)), most=3)
    assert not found.exhaustive


def test_the_most_wrap_of_an_engine_pulley_is_that_of_trying_every_pair_of_neighbours():
    # Another road: the same bound by the cube of the stock.
    chance = np.random.default_rng(5)
    for _ in range(200):
        leaves, arrives = (chance.uniform(-7, 7, chance.integers(1, 9)) for _ in range(2))
        every = ((leaves[:, None] - arrives) % TURN).max()
        assert _most_turn(leaves % TURN, arrives % TURN) == pytest.approx(every, abs=1e-12)


def test_a_search_told_to_stop_returns_what_it_has_and_says_so():
    problem = pair_problem(np.random.default_rng(3))
    assert search(problem).exhaustive
    stopped = search(problem, go_on=lambda: False)
    assert (stopped.exhaustive, stopped.looked_at, stopped.candidates) == (False, 0, ())
