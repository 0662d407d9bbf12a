"""Balance of one blade, worked by hand."""

from dataclasses import replace

import pytest

from snath.decisions.behaviour.asked import BalanceInput
from snath.decisions.behaviour.balance import GRADE_STANDING, judge_balance
from tests.told import refused

BLADE = BalanceInput(
    mass=0.8, missing=0.010, missing_radius=0.250, tip_radius=0.2667, grind_radius=0.24, rotation=50.0
)


def test_ten_grams_missing_near_the_tip():
    # By hand: 2,500 g mm, 246.74 N at 3,000 rpm, 31.4 times the blade's weight of 7.845 N; G16 permits
    # 0.8 x 16 / (100 pi) = 40.74 g mm, 0.153 g at the tip; 2500 / 240 = 10.42 g to grind off.
    got = judge_balance(BLADE)
    assert got.unbalance * 1e6 == pytest.approx(2500)
    assert got.force == pytest.approx(246.74, abs=0.02)
    assert got.beside_blade == pytest.approx(31.45, abs=0.01)
    assert got.permitted * 1e6 == pytest.approx(40.74, abs=0.01)
    assert got.permitted_at_tip * 1e3 == pytest.approx(0.1528, abs=0.0005)
    assert got.grind * 1e3 == pytest.approx(10.417, abs=0.001)
    assert not got.within_grade
    assert got.reached == pytest.approx(0.982, abs=0.001)  # 2500e-6 x 100 pi / 0.8
    assert GRADE_STANDING in got.notes


def test_a_balancer_moved_only_by_two_grams_cannot_show_the_grade():
    # By hand: 2 g at 200 mm = 400 g mm, ten times what G16 permits.
    got = judge_balance(replace(BLADE, mover=0.002, mover_radius=0.2))
    assert got.balancer_floor * 1e6 == pytest.approx(400)
    assert got.balancer_enough is False
    assert "balance.not-fine-enough" in [note.code for note in got.notes]


def test_a_loose_hole_alone_can_be_over_the_grade():
    # By hand: 0.3 mm of play: 0.8 x 0.15 mm = 120 g mm over 40.7.
    got = judge_balance(replace(BLADE, hole_play=0.0003))
    assert got.play_unbalance * 1e6 == pytest.approx(120)
    assert "balance.hole-play" in [note.code for note in got.notes]


def test_wrong_input_is_named_and_refused():
    with refused("grade = G17: must be one of"):
        judge_balance(replace(BLADE, grade="G17"))
    with refused(r"mass = -0\.8 kg"):
        judge_balance(replace(BLADE, mass=-0.8))
    with refused(r"missing_radius = 300 mm: must be at least 0 and at most 266\.7 mm"):
        judge_balance(replace(BLADE, missing_radius=0.3))
    with refused(r"grind_radius = 300 mm: must be over 0 and at most 266\.7 mm"):
        judge_balance(replace(BLADE, grind_radius=0.3))
    with refused("speed = 180000 rpm: must be over 0 and at most 30000 rpm"):
        judge_balance(replace(BLADE, rotation=3000.0))
    with refused("mover_radius = nothing: what moves the balancer needs both"):
        judge_balance(replace(BLADE, mover=0.002, mover_radius=None))
