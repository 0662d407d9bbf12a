import math
from itertools import pairwise

import numpy as np
import pytest
from scipy.optimize import brentq
from shapely import MultiPoint, Point

from snath.formulas.belts.loop import Pulley
from snath.formulas.belts.pair import SheavePair, belt_length, wraps
from snath.formulas.belts.route import lay
from snath.quantities.errors import InputError
from tests.told import told


def support_perimeter(circles):
    """Cauchy: the hull's perimeter is the integral of the support function over all directions.

    h(a) = max of x cos a + y sin a + r changes its circle only where two circles are equally far; between
    those directions it integrates in closed form. Also the share of directions each circle is furthest in,
    and the circles in the order in which they are.
    """
    x, y, r = circles
    turns = [0.0, 2 * math.pi]
    for i in range(len(x)):
        for j in range(i):
            dx, dy = x[i] - x[j], y[i] - y[j]
            apart = math.hypot(dx, dy)
            if abs(r[j] - r[i]) < apart:
                middle, half = math.atan2(dy, dx), math.acos((r[j] - r[i]) / apart)
                turns += [(middle - half) % (2 * math.pi), (middle + half) % (2 * math.pi)]
    a, b = np.array(list(pairwise(sorted(turns)))).T
    m = (a + b) / 2
    far = np.argmax(np.outer(np.cos(m), x) + np.outer(np.sin(m), y) + r, axis=1)
    parts = x[far] * (np.sin(b) - np.sin(a)) - y[far] * (np.cos(b) - np.cos(a)) + r[far] * (b - a)
    shares = np.bincount(far, weights=b - a, minlength=len(x))
    order = [int(k) for k, before in zip(far, np.roll(far, 1), strict=True) if k != before]
    return math.fsum(parts), shares, order


def hull_layouts(count, seed):
    """Random layouts of 2 to 8 sheaves that all touch the hull and not each other, in random order of size."""
    rng = np.random.default_rng(seed)
    found = 0
    while found < count:
        n = int(rng.integers(2, 9))
        angle = np.sort(rng.uniform(0, 2 * np.pi, n))
        stretch = rng.uniform(0.3, 1.0)
        x, y = rng.uniform(0.4, 1) * np.cos(angle), stretch * rng.uniform(0.4, 1) * np.sin(angle)
        x, y = x + rng.normal(0, 0.03, n), y + rng.normal(0, 0.03, n)
        r = rng.uniform(0.01, 0.12, n)
        apart = np.hypot(x[:, None] - x, y[:, None] - y) - (r[:, None] + r)
        np.fill_diagonal(apart, 1)
        perimeter, shares, order = support_perimeter((x, y, r))
        if apart.min() <= 1e-3 or shares.min() < 1e-4 or len(order) != n:
            continue  # touching, off the hull, or on the hull more than once, which a belt cannot follow
        found += 1
        yield x[order], y[order], r[order], perimeter, shares[order]


def pulleys_of(x, y, r):
    return tuple(Pulley(f"p{i}", *map(float, c)) for i, c in enumerate(zip(x, y, r, strict=True)))


@pytest.mark.slow
def test_ten_thousand_hulls_have_the_length_and_wraps_of_the_support_function():
    # Another road: see `support_perimeter`; a circle's wrap is the directions in which it is furthest.
    for x, y, r, perimeter, shares in hull_layouts(10_000, seed=3):
        route = lay(pulleys_of(x, y, r))
        assert route.length == pytest.approx(perimeter, rel=1e-9)
        assert route.wraps == pytest.approx(shares, abs=1e-7)


def test_five_hundred_hulls_have_the_length_that_shapely_finds():
    # Another road: shapely's convex hull of polygons with 2,400 corners a circle, short by (pi/2400)^2 / 6.
    for x, y, r, _, _ in hull_layouts(500, seed=4):
        circles = [Point(a, b).buffer(c, quad_segs=600) for a, b, c in zip(x, y, r, strict=True)]
        corners = np.concatenate([np.asarray(c.exterior.coords) for c in circles])
        hull = MultiPoint(corners).convex_hull
        assert lay(pulleys_of(x, y, r)).length == pytest.approx(hull.length, rel=1e-6)


def taut_path(pulleys):
    """Another road: each straight run found by search instead of by formula, then the path walked in steps.

    A run that leaves pulley a at angle t is right when it passes b at b's radius, on b's side.
    """
    ends = []
    for a, b in zip(pulleys, (*pulleys[1:], pulleys[0]), strict=True):

        def miss(heading, a=a, b=b):
            # distance of b's centre left of the line that touches a, heading that way
            nx, ny = math.sin(heading), -math.cos(heading)
            sx, sy = a.x + a.signed * nx, a.y + a.signed * ny
            return -(b.x - sx) * nx - (b.y - sy) * ny - b.signed

        straight = math.atan2(b.y - a.y, b.x - a.x)
        heading = brentq(miss, straight - math.pi / 2, straight + math.pi / 2, xtol=1e-14)
        nx, ny = math.sin(heading), -math.cos(heading)
        ends.append(
            (heading, (a.x + a.signed * nx, a.y + a.signed * ny), (b.x + b.signed * nx, b.y + b.signed * ny))
        )
    walked = 0.0
    for i, p in enumerate(pulleys):
        arrived, left = ends[i - 1], ends[i]
        first = math.atan2(arrived[2][1] - p.y, arrived[2][0] - p.x)
        last = math.atan2(left[1][1] - p.y, left[1][0] - p.x)
        turn = (first - last if p.back else last - first) % (2 * math.pi)
        steps = np.linspace(0, turn, 20_001)
        angle = first - steps if p.back else first + steps
        walked += np.hypot(
            np.diff(p.x + p.radius * np.cos(angle)), np.diff(p.y + p.radius * np.sin(angle))
        ).sum()
        walked += math.dist(left[1], left[2])
    return walked


def back_side_layouts(count, seed):
    """Two to four sheaves with one or two idlers pressed on the belt's back between them."""
    rng = np.random.default_rng(seed)
    found = 0
    while found < count:
        n = int(rng.integers(2, 5))
        angle = np.arange(n) * 2 * np.pi / n + rng.uniform(-0.3, 0.3, n)
        sheaves = [
            Pulley(f"s{i}", float(np.cos(a)), float(np.sin(a)), float(rng.uniform(0.05, 0.25)))
            for i, a in enumerate(angle)
        ]
        order = []
        for i, (a, b) in enumerate(zip(sheaves, (*sheaves[1:], sheaves[0]), strict=True)):
            order.append(a)
            if rng.random() < 0.5 or (i == n - 1 and len(order) == n):
                share, depth = rng.uniform(0.3, 0.7), rng.uniform(-0.1, 0.25)
                radius = float(rng.uniform(0.03, 0.08))
                x, y = a.x + share * (b.x - a.x), a.y + share * (b.y - a.y)
                out = (b.y - a.y, -(b.x - a.x))
                push = (radius - depth) / math.hypot(*out) if n > 2 else -(depth / 4) / math.hypot(*out)
                order.append(Pulley(f"i{i}", x + push * out[0], y + push * out[1], radius, back=True))
        try:
            route = lay(tuple(order))
        except InputError:
            continue
        found += 1
        yield route


def test_three_hundred_back_side_layouts_have_the_length_of_their_walked_path():
    # Another road: `taut_path`; chords of 20,000 steps an arc are short by under 1e-8 of it.
    idlers = 0
    for route in back_side_layouts(300, seed=5):
        idlers += sum(p.back for p in route.pulleys)
        assert route.length == pytest.approx(taut_path(route.pulleys), rel=1e-7)
    assert idlers >= 300


def test_back_side_contact_turns_an_idler_the_other_way():
    route = lay(
        (Pulley("engine", 0, 0, 0.05), Pulley("blade", 0.4, 0, 0.1), Pulley("idler", 0.2, 0, 0.03, True))
    )
    assert route.sense("blade", of="engine") == 1
    assert route.sense("idler", of="engine") == -1


def test_two_pulleys_are_the_pair():
    # Another road: the handbook formula for two sheaves.
    pair = SheavePair(driver=0.1, driven=0.2, centres=0.4)
    route = lay((Pulley("a", 0, 0, 0.05), Pulley("b", 0.24, 0.32, 0.1)))
    assert route.length == pytest.approx(belt_length(pair), rel=1e-12)
    assert route.wraps == pytest.approx(wraps(pair), rel=1e-12)


def test_turning_and_shifting_the_drawing_changes_nothing_and_scaling_scales():
    # Property.
    for x, y, r, _, _ in hull_layouts(50, seed=6):
        length = lay(pulleys_of(x, y, r)).length
        c, s = math.cos(1.1), math.sin(1.1)
        assert lay(pulleys_of(c * x - s * y + 3, s * x + c * y - 2, r)).length == pytest.approx(
            length, rel=1e-9
        )
        assert lay(pulleys_of(2.5 * x, 2.5 * y, 2.5 * r)).length == pytest.approx(2.5 * length, rel=1e-9)
        assert lay(pulleys_of(-x, y, r), clockwise=True).length == pytest.approx(length, rel=1e-9)


def refusal(*pulleys, **how):
    with pytest.raises(InputError) as refused:
        lay(pulleys, **how)
    return told(refused.value)


A, B = Pulley("engine", 0, 0, 0.05), Pulley("blade", 0.4, 0, 0.1)


def test_touching_pulleys_are_refused_with_the_distance_needed():
    assert refusal(A, Pulley("blade", 0.14, 0, 0.1)) == (
        "engine and blade = 140.0 mm apart: the pulleys touch: their centres must be over 150.0 mm apart"
    )


def test_a_pulley_the_belt_misses_is_named():
    assert "idler = centre 200 mm, 0 mm: the belt does not touch it from inside" in refusal(
        A, B, Pulley("idler", 0.2, 0, 0.02)
    )
    assert "the belt does not touch it with its back" in refusal(A, B, Pulley("idler", 0.2, 0.5, 0.02, True))


def test_an_order_that_crosses_is_refused():
    corners = [Pulley(n, x, y, 0.05) for n, x, y in (("a", 0, 0), ("b", 1, 1), ("c", 1, 0), ("d", 0, 1))]
    assert "the belt would cross itself" in refusal(*corners)


def test_a_loop_listed_against_its_direction_says_so():
    corners = [Pulley(n, x, y, 0.05) for n, x, y in (("a", 0, 0), ("b", 1, 0), ("c", 1, 1))]
    assert "only fits the other way round" in refusal(*corners, clockwise=True)


def test_a_belt_that_runs_into_a_pulley_is_refused():
    # The idler presses the upper run so far down that the lower run strikes the idler's own rim.
    deep = Pulley("idler", 0.2, -0.06, 0.02, True)
    assert "runs into it" in refusal(A, B, deep)


def test_one_pulley_or_a_name_twice_is_refused():
    assert "a belt needs at least two" in refusal(A)
    assert "this one stands twice" in refusal(A, B, Pulley("blade", 0.2, 0.5, 0.05))
