import math

import numpy as np
import pytest

from snath.formulas.belts.guides import guiding, least_twisted_span
from snath.formulas.belts.loop import Pulley
from snath.formulas.belts.route import lay
from snath.formulas.belts.space import Wheel, thread
from tests.told import refused

FLAT = math.radians(0.01)


def test_in_one_plane_it_is_the_flat_route():
    # Another road: the formula for routes in a plane, on a plane tilted at random.
    rng = np.random.default_rng(8)
    flat = (Pulley("a", 0, 0, 0.05), Pulley("b", 0.4, 0, 0.1), Pulley("i", 0.2, -0.02, 0.03, back=True))
    turn, _ = np.linalg.qr(rng.normal(size=(3, 3)))
    turn *= np.linalg.det(turn)
    wheels = tuple(
        Wheel(
            p.name, tuple(turn @ [p.x, p.y, 0]), tuple(turn @ [0, 0, -1 if p.back else 1]), p.radius, p.back
        )
        for p in flat
    )
    route, laid = thread(wheels, entering=FLAT, leaving=FLAT), lay(flat)
    assert route.length == pytest.approx(laid.length, abs=1e-9)
    assert route.wraps == pytest.approx(laid.wraps, abs=1e-7)
    assert max(s.twist for s in route.spans) < 1e-6


def test_every_span_is_a_tangent_in_both_planes_and_fleet_angles_are_measured_from_them():
    # Property: radius at each end is square to the run; the sine of the fleet angle is the run along the axis.
    wheels = (
        Wheel("engine", (0, 0, 0), (0, 1, 0.1), 0.06),
        Wheel("guide", (0.5, 0.02, 0.1), (0.05, 1, 0.0), 0.04),
        Wheel("blade", (0.3, 0.01, -0.5), (0.1, 0.9, 0.05), 0.09),
    )
    route = thread(wheels, entering=1, leaving=1)
    for i, (a, b) in enumerate(zip(wheels, (*wheels[1:], wheels[0]), strict=True)):
        span = route.spans[i]
        run = np.subtract(span.end, span.start)
        for wheel, point, fleet in ((a, span.start, span.leaving), (b, span.end, span.entering)):
            radius, axis = np.subtract(point, wheel.centre), np.array(wheel.axis) / np.linalg.norm(wheel.axis)
            assert radius @ run == pytest.approx(0, abs=1e-12)
            assert np.linalg.norm(radius) == pytest.approx(wheel.radius)
            assert math.sin(fleet) == pytest.approx(abs(run @ axis) / np.linalg.norm(run), abs=1e-12)
            assert np.cross(axis, radius) @ run > 0  # the belt runs the way the wheel turns


def test_a_quarter_turn_belt_enters_each_sheave_in_its_plane_only_one_way_round():
    # By hand: shafts at right angles, each receiving point in line with the other's middle plane: a run drops
    # straight from the rim of one to the rim of the other, and enters it with no fleet angle.
    engine = Wheel("engine", (0, 0, 0), (0, 1, 0), 0.05)
    blade = Wheel("blade", (0.05, -0.05, -1.0), (1, 0, 0), 0.05)
    route = thread((engine, blade), entering=math.radians(6), leaving=math.radians(6))
    assert min(s.entering for s in route.spans) == pytest.approx(0, abs=1e-6)
    assert max(max(s.entering, s.leaving) for s in route.spans) > math.radians(1)
    assert route.spans[0].twist == pytest.approx(math.pi / 2, abs=0.2)


def test_a_span_that_meets_a_groove_askew_is_refused_with_its_angle():
    wheels = (Wheel("engine", (0, 0, 0), (0, 0, 1), 0.05), Wheel("blade", (0.5, 0, 0.1), (0, 0, 1), 0.05))
    # By hand: 100 mm out of line over 500 mm is atan(0.2) = 11.3 deg.
    with refused(r"enters it 11.3 deg out of its plane, towards engine: must be at most 3"):
        thread(wheels, entering=guiding("entering fleet angle").value, leaving=1)


def test_the_span_rule_has_its_standing():
    # From memory, unverified: centres at least 5.5 (D + W) for a quarter turn. By hand 5.5 x 0.12 = 0.66 m.
    rule = least_twisted_span(diameter=0.1, width=0.02, twist=math.pi / 2)
    assert rule.value == pytest.approx(0.66)
    assert rule.standing == "memory"


def test_wheels_inside_one_another_are_refused():
    wheels = (Wheel("engine", (0, 0, 0), (0, 0, 1), 0.05), Wheel("blade", (0.02, 0, 0.3), (0, 0, 1), 0.01))
    with refused("no straight run fits"):
        thread(wheels, entering=2, leaving=2)
