"""Do the sliders stand for what can really be exchanged?"""

from pathlib import Path

import pytest
from django.utils.translation import override

from snath.decisions.job.assemble import job_for
from snath.decisions.job.work import work
from snath.decisions.machine.sheet import read_sheet
from snath.rules.load import shipped_rules
from snath.shop.bench.jobs.what_if import handles_of, tried
from snath.shop.bench.preferences import Preferences

DECK = Path(__file__).parents[3] / "examples" / "deck_52_inch.toml"


@pytest.fixture(scope="module")
def job():
    return job_for(read_sheet(DECK.read_text("utf-8")), shipped_rules())


def test_a_pulley_under_three_belts_is_one_slider(job):
    with override("en"):
        handles = handles_of(job, work(job).window, Preferences("auto", "inch", ".", "en"))
    pulleys = [handle.label for handle in handles if handle.name.startswith("pulley")]
    assert pulleys == [
        "pulley on crankshaft, to right spindle, middle spindle, left spindle",
        "pulley on right spindle",
        "pulley on middle spindle",
        "pulley on left spindle",
    ]


def test_moving_it_moves_every_spindle(job):
    # By hand: 5 in over 4 3/4 in outside.
    trial = tried(job, {"unit": "in", "pulley-0-0": "5"})
    by_outside = [coupling.alternatives[0].value.value for coupling in trial.job.machine.couplings]
    assert by_outside == pytest.approx([5 / 4.75] * 3)


def test_moving_a_spindles_own_pulley_moves_that_spindle_alone(job):
    # By hand: 6 in over 4 3/4 in, the middle one over 5 in.
    trial = tried(job, {"unit": "in", "pulley-1-1": "5"})
    by_outside = [coupling.alternatives[0].value.value for coupling in trial.job.machine.couplings]
    assert by_outside == pytest.approx([6 / 4.75, 6 / 5, 6 / 4.75])
