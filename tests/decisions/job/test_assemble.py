"""Which rows of the book go along with a job?"""

import math
from dataclasses import replace

import pytest

from snath.decisions.job.assemble import job_for
from snath.decisions.job.work import work
from snath.decisions.machine.parts import CRANKSHAFT, Engine, Machine, Member, Size
from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.rules.load import shipped_rules
from tests.machines import direct, inches, job


def test_a_mower_takes_its_tip_speed_and_stop_rows_and_no_wheels():
    ids = {rule.id for rule in job(direct(inches(21)), market="US").rules}
    assert {"mower-tip-speed-consumer", "us-walk-behind-blade-stop"} <= ids
    assert not any(name.startswith(("cut-off", "generator")) for name in ids)


def test_a_set_takes_every_class_of_figures_and_its_window_uses_none():
    alternator = Member("alternator", CRANKSHAFT, "alternator", poles=2, frequency_max=63)
    machine = Machine("set", "generator", Engine(), (), (alternator,))
    ids = {rule.id for rule in job_for(machine, shipped_rules()).rules}
    assert {"generator-droop-g1", "generator-droop-g2", "generator-droop-g3"} <= ids


def test_a_chosen_row_goes_along_and_binds_in_place_of_the_surface_speeds_in_scope():
    chosen = job(direct(inches(21)), only="mower-tip-speed-before-1968")
    window = work(chosen).window
    assert {bound.rule for bound in window.bounds} == {"mower-tip-speed-before-1968"}
    # By hand: 21,000 / (pi 21/12) = 3,819.7 rpm.
    assert window.ceiling * 60 == pytest.approx(3819.7, abs=0.05)


SAW = Machine(
    "saw",
    "cut-off saw",
    Engine(),
    (),
    (Member("wheel", CRANKSHAFT, "wheel", (Size("", inches(14)),), marked_class="80 m/s"),),
)


BOTH = "mower-tip-speed-consumer, mower-tip-speed-before-1968"


@pytest.mark.parametrize(
    ("machine", "market", "rule", "fit"),
    [
        (
            direct(inches(21)),
            "",
            "cut-off-wheel-125",
            BOTH,
        ),
        (direct(inches(21)), "", "mower-tip-speed-commercial", BOTH),
        (direct(inches(21)), "", "us-workplace-mower-tip-speed", BOTH),
        (direct(inches(21)), "EU", "mower-tip-speed-before-1968", "mower-tip-speed-consumer"),
        (
            replace(direct(inches(21)), made=1990),
            "US",
            "mower-tip-speed-before-1968",
            "mower-tip-speed-consumer",
        ),
        (direct(inches(21)), "US", "us-walk-behind-blade-stop", BOTH),
        (SAW, "", "mower-tip-speed-consumer", "cut-off-wheel-80"),
        (SAW, "", "cut-off-wheel-125", "cut-off-wheel-80"),
    ],
)
def test_a_chosen_row_that_does_not_speak_of_the_machine_is_refused_with_those_that_do(
    machine, market, rule, fit
):
    with pytest.raises(InputError) as caught:
        job(machine, market=market, only=rule)
    assert caught.value.allowed == Message("job.row-fits", known=tuple(fit.split(", ")))


def test_a_marked_class_binds():
    # By hand: 80 / (pi 0.3556) x 60 = 4,296.6 rpm for a 14 in wheel.
    window = work(job(SAW)).window
    assert window.binding_rule == "cut-off-wheel-80"
    assert window.ceiling * 60 == pytest.approx(80 / (math.pi * 0.3556) * 60)
    assert window.ceiling * 60 == pytest.approx(4296.6, abs=0.05)


def test_the_chosen_row_is_named_with_the_result():
    found = work(job(direct(inches(21)), only="mower-tip-speed-consumer"))
    assert Message("job.chosen-row", rule="mower-tip-speed-consumer") in found.notes
