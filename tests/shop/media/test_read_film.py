import numpy as np
import pytest

from snath.formulas.signals.candidates import Candidate
from snath.formulas.signals.film.result import LightResult
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
