import math
from dataclasses import replace

import pytest

from snath.decisions.job.job import Job
from snath.decisions.reading.reading import Reading
from snath.decisions.reading.steady_states import ALONE, split_steady_states
from snath.formulas.signals.candidates import Candidate, Track
from snath.formulas.signals.sound_answer import CHANGES
from snath.quantities.measured import Line, Measured
from snath.words.render import ENGLISH, say

ONE = Reading(
    method="sound",
    value=Measured(45.0, (Line("sound: noise", 0.02),)),
    decided=True,
    candidates=(Candidate(45.0, 0.02, 0.99),),
    confirmed=True,
    lowest=30.0,
    highest=50.0,
)


def track(*held):
    speed = [rev_s for rev_s, seconds in held for _ in range(seconds * 10)]
    return Track("crankshaft", tuple(i / 10 for i in range(len(speed))), tuple(speed), (0.02,) * len(speed))


def test_a_recording_of_two_held_speeds_is_undecided_and_names_both_with_times():
    # By hand: 30 and 50 rev/s are 1,800 and 3,000 rpm; 5 s and 10 s of 15 s, less one point each, and in what is
    # offered less the 0.2 s on each side of the change in which a point hears both.
    found = split_steady_states(ONE, track((30, 5), (50, 10)))
    assert (found.decided, found.value, found.confirmed, found.several_held) == (False, None, False, True)
    assert [c.rev_s for c in found.candidates] == pytest.approx([30, 50])
    assert [c.weight for c in found.candidates] == pytest.approx([1 / 3, 2 / 3], abs=0.01)
    assert "0.0 to 4.7 s: 1,800 rpm, 5.2 to 14.9 s: 3,000 rpm" in say(found.why, ENGLISH)
    assert found.next_steps == (ALONE,)


def test_pulses_whose_points_bear_the_doubt_of_the_whole_are_told_apart_all_the_same():
    # By hand: 8 % of doubt in every point, as steps bring it, would hide a step of 4 %.
    steps = track((30, 5), (50, 10), (48, 10))
    wide = replace(steps, u=(4.0,) * len(steps.u))
    assert [one.rev_s for one in split_steady_states(replace(ONE, method="pulses"), wide).plateaus] == [
        30,
        50,
        48,
    ]
    assert len(split_steady_states(ONE, wide).plateaus) == 2


def test_one_held_speed_stays_as_it_was_read():
    assert split_steady_states(ONE, track((45, 10))) == ONE
    assert (
        split_steady_states(ONE, track((45, 5), (45.3, 5))) == ONE
    )  # By hand: 0.67 %, under the 1 % that counts


def test_a_hunting_engine_holds_one_speed_and_a_step_taken_for_a_swing_holds_two():
    hunting = replace(ONE, hunting=2.0)
    t = tuple(i / 10 for i in range(100))
    swing = tuple(50 + 2 * math.sin(2 * math.pi * 1.3 * moment) for moment in t)
    assert split_steady_states(hunting, Track("crankshaft", t, swing, (0.02,) * len(t))) == hunting
    stepped = split_steady_states(hunting, track((48, 3), (52, 2)))
    assert (stepped.several_held, stepped.hunting) == (True, None)


def test_a_doubted_multiple_is_left_alone():
    steps = track((30, 5), (50, 10))
    doubted = replace(
        ONE, decided=False, value=None, candidates=(Candidate(45.0, 0.02, 0.6), Candidate(22.5, 0.01, 0.4))
    )
    assert split_steady_states(doubted, steps) == doubted
    faint = replace(ONE, decided=False, value=None, candidates=(Candidate(45.0, 0.02, 0.3),))
    assert split_steady_states(faint, steps) == faint


def test_a_belief_of_half_is_enough_however_its_sum_is_rounded():
    # By hand: the next number under a half, as the sum of a half and next to nothing may come out.
    half = replace(
        ONE, decided=False, value=None, candidates=(Candidate(45.0, 0.02, math.nextafter(0.5, 0)),)
    )
    assert split_steady_states(half, track((30, 5), (50, 10))).several_held


def test_a_sweep_too_wide_for_a_mean_still_names_what_was_held():
    unsteady = replace(ONE, decided=False, value=None)
    assert split_steady_states(unsteady, track((20, 5), (50, 10))).several_held


def test_a_reading_kept_before_plateaus_were_looked_for_opens():
    assert Reading().plateaus == ()
    assert "plateaus" not in Job.__dataclass_fields__


def test_the_mean_of_a_speed_that_changes_too_much_is_no_candidate():
    # By hand: no tenth of a second is like the next in a fall from 50 to 20 rev/s, so no speed is held.
    changing = replace(ONE, decided=False, value=None, why=CHANGES)
    falling = replace(track((50, 6)), rev_s=tuple(50 - 0.5 * i for i in range(60)))
    assert split_steady_states(changing, falling).candidates == ()
    assert split_steady_states(ONE, falling).candidates == ONE.candidates
