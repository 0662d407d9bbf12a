"""How fast and at which angles a struck object may leave."""

import numpy as np
import pytest

from snath.formulas.throwing.launch import launch_speed, opening_elevations
from tests.told import refused


def test_a_light_stone_can_leave_faster_than_the_tip():
    # By hand: central impact, light body at rest: v = (1 + e) v_tip.
    got = launch_speed(tip_speed=96.52, restitution=[0.0, 0.5, 1.0])
    assert got == pytest.approx([96.52, 144.78, 193.04], abs=0.01)


def test_it_is_the_limit_of_a_two_body_impact():
    # Another road: momentum and restitution solved for a blade 10^6 times the stone's mass.
    ratio, e, tip = 1e-6, 0.37, 80.0
    # blade u, stone v: u + ratio v = tip, v - u = e tip
    u, v = np.linalg.solve([[1, ratio], [-1, 1]], [tip, e * tip])
    assert u < tip
    assert launch_speed(tip_speed=tip, restitution=e) == pytest.approx(v, rel=2e-6)


def test_an_opening_below_the_blade_lets_things_out_downwards_and_level():
    # By hand: blade at 80 mm, opening 300 mm away from the ground to 80 mm: -atan(80/300) and 0.
    low, high = opening_elevations(struck_height=0.08, edge_distance=0.3, edge_low=0.0, edge_high=0.08)
    assert low == pytest.approx(-np.arctan(80 / 300))
    assert high == pytest.approx(0.0)


def test_a_raised_chute_lets_them_out_at_45_degrees():
    # By hand: 300 mm up over 300 mm away.
    _, high = opening_elevations(struck_height=0.1, edge_distance=0.3, edge_low=0.1, edge_high=0.4)
    assert high == pytest.approx(np.pi / 4)


def test_an_opening_upside_down_is_refused():
    with refused(r"edge_high = 0\.1 m: must be at least edge_low, 0\.4 m"):
        opening_elevations(struck_height=0.1, edge_distance=0.3, edge_low=0.4, edge_high=0.1)


def test_a_bounce_over_perfect_is_refused():
    with refused("restitution"):
        launch_speed(tip_speed=90, restitution=1.2)
