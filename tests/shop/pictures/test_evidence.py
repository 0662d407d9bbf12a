"""The evidence picture: the lines of the right speed are heard, those of the runner-up are not."""

import re
import xml.etree.ElementTree as ET

import numpy as np
import pytest

from benchmarks.simulator.engine import Scene, record
from snath.formulas.signals.aliases import SINGLE
from snath.formulas.signals.candidates import Candidate, Orders, Track
from snath.formulas.signals.sound_result import SoundResult
from snath.shop.pictures.combs import Comb, combs
from snath.shop.pictures.evidence import evidence_picture
from snath.shop.pictures.voice import speaking
from tests.told import refused

T = tuple(np.arange(0, 5, 0.1))


def comb(rev_s, name="the comb"):
    return Comb(name, rev_s, T, (rev_s,) * len(T), 0.5)


@pytest.fixture(scope="module")
def picture():
    take = record(Scene(rev_s=50.0, snr_db=20, jitter=0.001), np.random.default_rng(1))
    return evidence_picture(take.samples, take.rate, comb(50.0), comb(25.0, "<half>"), speaking())


def test_the_sound_stands_out_along_the_lines_of_the_answer_and_half_of_the_runner_ups(picture):
    # By hand: every second line of a comb at half the speed is a line of the true one.
    told = re.findall(r"([\d,]+) rpm \(.*?\): the sound stands out along (\d+) %", picture.text)
    assert [speed for speed, _ in told] == ["3,000", "1,500"]
    answer, runner_up = (int(percent) for _, percent in told)
    assert answer > 70
    assert runner_up < 0.75 * answer


def test_the_drawing_is_well_formed_small_and_escapes_names(picture):
    root = ET.fromstring(picture.svg)
    assert root.tag.endswith("svg")
    assert "&lt;half&gt;" in picture.svg
    assert "style" not in picture.svg
    assert len(picture.svg) < 200_000


def test_the_combs_of_a_result_follow_its_track_scaled_to_each_candidate():
    candidates = (Candidate(50.0, 0.1, 0.6, f"firing of a {SINGLE.name}"), Candidate(25.0, 0.1, 0.4, "other"))
    result = SoundResult(Track("crankshaft", (0.0, 1.0), (50.0, 52.0), (0.1, 0.1)), None, candidates, False)
    first, second = combs(result, Orders(10.0, 100.0))
    assert (first.rev_s, first.spacing) == ((50.0, 52.0), 0.5)
    assert second.rev_s == (25.0, 26.0)
    even_twin, _ = combs(result, Orders(10.0, 100.0, 2, (0.0, 0.5)))
    assert even_twin.spacing == 1.0  # By hand: two firings in two turns, evenly
    uneven, _ = combs(result, Orders(10.0, 100.0, 2, (0.0, 0.375)))
    assert uneven.spacing == 0.5


def test_nothing_heard_cannot_be_drawn():
    with refused("some speed was found"):
        combs(SoundResult(Track("crankshaft", (), (), ()), None, (), False), Orders(10.0, 100.0))
