import math

import pytest

from snath.decisions.reading.fuse import fuse
from snath.decisions.reading.reading import Reading
from snath.formulas.signals.candidates import Candidate
from snath.quantities.measured import Line, Measured
from snath.quantities.message import Message
from tests.told import refused

CLOCK, NOISE = Message("budget.clock"), Message("budget.sound-noise")


def decided(value, *, clock=0.0, own=0.05, evidence="", method="sound", source=NOISE):
    lines = (Line(source, own), *((Line(CLOCK, clock),) if clock else ()))
    return Reading(method=method, value=Measured(value, lines), decided=True, evidence=evidence)


def test_two_equal_readings_of_two_clips_halve_the_variance_of_their_own_noise_only():
    # By hand: mean of u = 0.04 twice is 0.04 / sqrt 2; the clock, 0.03, is shared and stays.
    both = fuse(
        (decided(50.0, clock=0.03, own=0.04, evidence="a"), decided(50.1, clock=0.03, own=0.04, evidence="b"))
    )
    assert both.value.value == pytest.approx(50.05)
    assert both.value.u == pytest.approx(math.hypot(0.04 / math.sqrt(2), 0.03), rel=1e-6)


def test_sound_and_light_of_one_clip_share_its_jitter():
    # By hand: a cause fully shared does not average away.
    jitter = Message("budget.wander")
    one = decided(50.0, own=0.05, evidence="a", source=jitter)
    other = decided(50.0, own=0.05, evidence="a", source=jitter, method="light")
    assert fuse((one, other)).value.u == pytest.approx(0.05, rel=1e-6)


def test_readings_that_contradict_each_other_are_not_averaged():
    # By hand: 1 rev/s apart at u = 0.05 each is 14 standard uncertainties.
    conflict = fuse((decided(50.0, evidence="a"), decided(51.0, evidence="b")))
    assert not conflict.decided
    assert conflict.value is None
    assert conflict.why.code == "reading.contradict"
    assert sorted(c.rev_s for c in conflict.candidates) == [50.0, 51.0]


def test_multiples_from_sound_and_aliases_from_light_leave_one_speed():
    # By hand: only 50 stands in both lists.
    sound = Reading(method="sound", candidates=(Candidate(25.0, 0.02, 0.4), Candidate(50.0, 0.04, 0.6)))
    light = Reading(method="light", candidates=(Candidate(20.0, 0.01, 0.5), Candidate(50.02, 0.01, 0.5)))
    both = fuse((sound, light))
    assert both.decided
    assert both.value.value == pytest.approx(50.02)


def test_two_lists_with_two_speeds_in_common_stay_undecided():
    same = (Candidate(25.0, 0.02, 0.5), Candidate(50.0, 0.04, 0.5))
    assert not fuse((Reading(candidates=same), Reading(candidates=same))).decided


def test_readings_of_two_shafts_are_refused_by_name():
    with refused("shaft = spindle: must be crankshaft"):
        fuse((decided(50.0), Reading(shaft="spindle", value=Measured(60.0, (Line("x", 0.1),)), decided=True)))
