import numpy as np
import pytest

from snath.formulas.signals.candidates import Candidate
from snath.formulas.signals.film.result import LightResult
from snath.quantities.measured import Measured
from snath.shop.media import read_film as module
from snath.shop.media.film import Film
from snath.shop.media.request import ReadRequest


def read(monkeypatch, *, told, seen):
    """A film whose pictures come round 50 times a second, with marks told and seen."""

    def by_marks(t_s, cells, *, marks, **asked):
        speed = Candidate(50 / marks, 0.01, 1.0, "", "")
        return LightResult((speed,), True, steady=None, marks_seen=seen)

    monkeypatch.setattr(module, "speed_from_light", by_marks)
    stamps, cells = np.arange(30) / 60, np.zeros((30, 2, 2), dtype=np.uint16)
    filmed = Film(stamps, cells, capture_rate=None, sound=False, faults=0)
    return module.read_film(filmed, ReadRequest(kind="light", marks=told), "").reading


@pytest.mark.parametrize(("told", "seen"), [(2, 1), (1, 2), (3, 1)])
def test_marks_told_that_are_not_those_seen_leave_both_speeds_standing(monkeypatch, told, seen):
    # By hand: 50 repetitions a second are 50 over the marks.
    reading = read(monkeypatch, told=told, seen=seen)
    assert not reading.decided
    assert {one.rev_s for one in reading.candidates} == {50 / told, 50 / seen}
    assert reading.why.code == "film.miscounted"
    assert (reading.why.values["told"], reading.why.values["seen"]) == (told, seen)


@pytest.mark.parametrize("seen", [2, None])
def test_marks_told_that_are_seen_or_cannot_be_counted_stand_alone(monkeypatch, seen):
    # Property: what is seen contradicts nothing.
    assert [one.rev_s for one in read(monkeypatch, told=2, seen=seen).candidates] == [25]


def stamped(monkeypatch, *, decided, told=None, written=None, rate=30):
    """A film whose frames came evenly, decided or not, with what was told and written of slow motion."""
    speed = Candidate(50.0, 0.01, 1.0, "", "")
    steady = Measured(50.0, ())
    monkeypatch.setattr(
        module,
        "speed_from_light",
        lambda *_, **__: LightResult((speed,), decided, steady=steady, marks_seen=1),
    )
    stamps, cells = np.arange(30) / rate, np.zeros((30, 2, 2), dtype=np.uint16)
    filmed = Film(stamps, cells, capture_rate=written, sound=False, faults=0)
    return module.read_film(filmed, ReadRequest(kind="light", marks=1, capture_rate=told), "").reading


@pytest.mark.parametrize(("written", "why"), [(None, "film.decided-at"), (240.0, "film.decided")])
def test_a_speed_that_stands_on_a_rate_somebody_told_says_so(monkeypatch, written, why):
    # By hand: slow motion looks right at any rate: 120 told for 240 is half the speed.
    assert stamped(monkeypatch, decided=True, told=240.0, written=written).why.code == why


@pytest.mark.parametrize(("rate", "asked"), [(30, True), (240, False)])
def test_an_undecided_film_that_may_be_slow_motion_asks_at_what_rate_it_was_filmed(monkeypatch, rate, asked):
    # Common practice, no source: phones stamp slow motion to play at 24 to 60 pictures a second.
    steps = stamped(monkeypatch, decided=False, rate=rate).next_steps
    assert (steps[0].code == "film-ask.capture-rate") is asked
