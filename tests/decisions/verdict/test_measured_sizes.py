"""What a measured length leaves open enters band and verdict; the printed ceiling stays that of the nominal size."""

import math
from dataclasses import replace

import numpy as np
import pytest

from snath.decisions.job.assemble import job_for
from snath.decisions.job.job import Stage
from snath.decisions.job.work import work
from snath.decisions.machine.sheet import read_sheet
from snath.rules.load import shipped_rules
from tests.decisions.verdict.test_decide import reading

HEAD = 'name = "mower"\nkind = "walk-behind rotary mower"\n[engine]\n[[member]]\nname = "blade"\n[member.blade]\n'


def result(blade, *readings):
    job = job_for(read_sheet(HEAD + blade), shipped_rules())
    return work(replace(job, as_found=Stage(readings)))


def taken(found):
    """What was taken for the machine, and for which of its sizes."""
    return [
        (note.code, (one.values["name"], one.values["what"].code.removeprefix("size.")))
        for note in found.notes
        if note.code.startswith("machine.taken")
        for one in note.values["of"]
    ]


def test_a_length_without_plus_minus_prints_the_nominal_ceiling_and_is_not_exact():
    found = result('length = "22 in"\nmeasured = "corner to corner"', reading(3298, 0.3))
    # Published: 22 in at 19,000 ft/min is 3,298 rpm (trade table). By hand: ± 1/16 in is 0.0361 in of standard
    # uncertainty, 5.41 rpm; 1.6449 of that below 3,298.8 is 3,289.9.
    assert math.floor(found.window.ceiling * 60) == 3298
    assert found.window.pass_below * 60 == pytest.approx(3289.9, abs=0.05)
    assert found.as_found.stands.word == "undecided"
    assert taken(found) == [("machine.taken-tape-inch", ("blade", "length"))]


def test_metric_lengths_are_taken_to_a_millimetre():
    found = result('length = "558.8 mm"\nmeasured = "corner to corner"')
    # By hand: 1 mm / sqrt 3 of 558.8 mm is 0.10332 %, 3.408 rpm; 3,298.8 - 1.6449 x 3.408 = 3,293.2.
    assert found.window.pass_below * 60 == pytest.approx(3293.2, abs=0.05)
    assert taken(found) == [("machine.taken-tape-metric", ("blade", "length"))]


def test_a_figure_from_a_makers_page_is_taken_as_printed():
    found = result('length = "22 in"\nmeasured = "corner to corner"\nsizes_from = "Parts list, page 4"')
    assert found.window.pass_below == pytest.approx(found.window.ceiling)
    assert taken(found) == []


def test_a_length_nobody_said_how_to_measure_counts_as_square_across_a_wide_bar():
    found = result('length = "21 in"')
    # By hand: the diagonal of 21 in by 3 in is 21.2132 in; 19,000 / (pi 21.2132 / 12) = 3,421.2 rpm.
    assert found.window.ceiling * 60 == pytest.approx(3421.2, abs=0.05)
    assert ("machine.taken-bar", ("blade", "length")) in taken(found)
    # Property: that is no higher than with any method said, for any bar up to 3 in.
    for said in ('measured = "corner to corner"', 'measured = "square across"\nwidth = "3 in"'):
        assert found.window.ceiling <= result(f'length = "21 in"\n{said}').window.ceiling + 1e-12
    assert result('length = "21 in"\nwidth = "2 in"').window.ceiling == pytest.approx(
        result('length = "21 in"\nwidth = "2 in"\nmeasured = "square across"').window.ceiling
    )


@pytest.mark.parametrize("half", [32, 16])
@pytest.mark.parametrize("apart", [0, 1, 3])
def test_with_the_truth_on_the_limit_at_most_five_in_a_hundred_pass_with_two_uncertain_arms(half, apart):
    # Another road: arms drawn evenly within their ±, the engine exactly where the longer one meets 19,000 ft/min,
    # the reading drawn about that with u = 5 rpm. 60,000 draws, three standard errors of 5 % are 0.27 %.
    first, second = 10.5, 10.5 - apart / 64
    blade = f'arms = ["{first} in ± 1/{half} in", "{second} in ± 1/{half} in"]'
    edge = result(blade, reading(3000, 5)).as_found.stands.pass_below * 60
    rng = np.random.default_rng(100 * half + apart)
    arms = np.array([[first], [second]]) + rng.uniform(-1 / half, 1 / half, (2, 60_000))
    on_the_limit = 19_000 / (math.pi * 2 * arms.max(axis=0) / 12)
    passed = np.mean(on_the_limit + rng.normal(0, 5, 60_000) <= edge)
    assert passed <= 0.05 + 0.0027
    assert passed >= 0.02  # bounded doubt has no long tail, so the normal law errs to the wide side


def test_two_arms_print_the_nominal_ceiling():
    # By hand: 19,000 / (pi 21/12) = 3,455.9 rpm.
    found = result('arms = ["10 1/2 in ± 1/32 in", "10 1/2 in ± 1/32 in"]')
    assert found.window.ceiling * 60 == pytest.approx(3455.9, abs=0.05)
