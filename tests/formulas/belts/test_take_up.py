import math

import numpy as np
import pytest

from snath.formulas.belts.loop import Pulley
from snath.formulas.belts.route import lay
from snath.formulas.belts.take_up import TakeUp, released_slack, seat_for
from snath.formulas.belts.travel import allowance
from snath.formulas.belts.ways import Arm, Slot
from snath.quantities.errors import InputError
from tests.told import refused

ENGINE, LEFT, RIGHT = (
    Pulley("engine", 0, 0, 0.045),
    Pulley("left", -0.3, 0.25, 0.07),
    Pulley("right", 0.3, 0.25, 0.07),
)
DECK = (ENGINE, RIGHT, LEFT, Pulley("idler", -0.15, 0.1, 0.03, back=True))
PAIR = TakeUp(
    (Pulley("engine", 0, 0, 0.05), Pulley("blade", 0.45, 0, 0.05)), "blade", Slot((0.45, 0), (0.55, 0))
)


def test_two_hundred_random_idlers_measure_the_belt_they_were_set_for():
    # Property: the route at the place found is laid afresh and measured.
    rng = np.random.default_rng(7)
    done = 0
    while done < 200:
        way = (
            Slot((-0.2, rng.uniform(0.06, 0.1)), (rng.uniform(-0.14, -0.08), rng.uniform(0.12, 0.17)))
            if rng.random() < 0.5
            else Arm((-0.05, 0.32), rng.uniform(0.18, 0.24), math.radians(260), math.radians(220))
        )
        try:
            ends = [TakeUp(DECK, "idler", way).route(s).length for s in (0.0, 1.0)]
        except InputError:
            continue
        length = ends[0] + rng.uniform(0.05, 0.95) * (ends[1] - ends[0])
        seat = seat_for(TakeUp(DECK, "idler", way), length=length)
        again = lay((ENGINE, RIGHT, LEFT, Pulley("idler", *seat.place, 0.03, back=True)))
        assert again.length == pytest.approx(length, abs=1e-10)
        assert 0 <= seat.share <= 1
        done += 1


def test_a_driven_shaft_in_a_slot_ends_at_the_centres_of_the_pair_formula():
    # By hand: equal sheaves of 100 mm, belt 1000 + 100 pi mm: centres 500 mm, half way from 450 to 550.
    seat = seat_for(PAIR, length=1.0 + 0.1 * math.pi)
    assert seat.place == pytest.approx((0.5, 0.0), abs=1e-12)
    assert seat.share == pytest.approx(0.5, abs=1e-9)


def test_an_idler_that_cannot_tighten_says_by_how_much_the_belt_is_too_long():
    # By hand: at the tight end the way is 1100 + 314.2 mm; the belt is 20 mm longer.
    with refused(r"blade cannot tighten it.*at least 20.0 mm shorter"):
        seat_for(PAIR, length=1.12 + 0.1 * math.pi)


def test_a_belt_too_short_for_the_frame_says_by_how_much():
    with refused(r"too short for the frame.*at least 30.0 mm longer"):
        seat_for(PAIR, length=0.87 + 0.1 * math.pi)


def test_a_released_clutch_idler_that_stands_clear_leaves_the_belt_of_the_rest():
    way = Slot((-0.4, -0.1), (-0.12, 0.14))
    length = TakeUp(DECK, "idler", way).route(1.0).length
    slack = released_slack(TakeUp(DECK, "idler", way), length=length)
    assert slack == pytest.approx(length - lay((ENGINE, RIGHT, LEFT)).length)


def test_shafts_want_room_of_one_and_a_half_and_three_per_cent():
    # Common practice, no source: handbook rule -0.015 L / +0.03 L, so 15 and 30 mm for a belt of 1,000 mm.
    assert allowance(length=1.0) == pytest.approx((0.015, 0.030), abs=1e-9)
