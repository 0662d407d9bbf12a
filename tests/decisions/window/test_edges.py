"""The window at its edges: what closes it, what does not bind it, and how it is written down."""

from dataclasses import replace

import pytest

from snath.decisions.job.work import work
from snath.decisions.machine.parts import CRANKSHAFT, Engine, Machine, Member
from snath.decisions.reading.instruments import Instrument
from snath.words.render import ENGLISH, say
from tests.machines import RPM, direct, figure, inches, job


def test_a_band_is_not_set_under_the_floor():
    # By hand: 3,050 +- 100 would reach down to 2,950; the engine's lowest is 3,000.
    machine = direct(inches(21), rated_min=3000 * RPM, maker_no_load=figure(3050, 100))
    assert work(job(machine)).window.set_low == pytest.approx(3000 * RPM)


def test_a_floor_on_the_ceiling_leaves_one_speed_and_an_open_window():
    engine = Engine(rated_max=60.0, rated_min=60.0)
    assert work(job(Machine("fixed", "other", engine))).window.feasible


def test_a_peak_row_is_listed_and_does_not_bind():
    # The blade's own row at a tenth of its speed, but for peaks: 3,455.9 rpm stays the ceiling of a 21 in blade.
    asked = job(direct(inches(21)))
    row = next(rule for rule in asked.rules if rule.kind == "surface speed")
    peak = replace(row, id="peak", applies_to="peak", at_most=row.at_most / 10)
    window = work(replace(asked, rules=(*asked.rules, peak))).window
    assert window.ceiling == pytest.approx(3455.9 * RPM, abs=0.05 * RPM)
    assert any(bound.rule == "peak" for bound in window.bounds)


@pytest.mark.parametrize(("clutch", "setting"), [(True, "not known"), (False, "stop")])
def test_a_figure_with_blades_off_is_over_the_ceiling_for_nothing_only_behind_a_clutch(clutch, setting):
    # Blades off the engine runs faster than the 3,455.9 rpm its blades may see in air; without a clutch they turn.
    machine = direct(inches(21), clutch=clutch, maker_no_load=figure(3600, condition="blades off"))
    assert work(job(machine)).window.setting == setting


@pytest.mark.parametrize(
    ("engine", "why"),
    [
        ({}, "not known"),
        ({"clutch": True, "maker_no_load": figure(3600, condition="blades off")}, "not settled"),
        ({"maker_no_load": figure(3600)}, "stop"),
        ({"maker_no_load": figure(3000)}, "known"),
    ],
    ids=["no figure", "of another condition", "outside", "inside"],
)
def test_a_figure_that_was_typed_is_never_said_to_be_missing(engine, why):
    assert work(job(direct(inches(21), **engine))).window.unset == why


def test_limits_are_written_closed_and_rounded_to_the_side_that_keeps_them():
    # By hand: 3,455.94 rpm down to 3,455; a pump's 3,000.5 rpm up to 3,001.
    pump = Member("pump", CRANKSHAFT, "pump", speed_min=3000.5 * RPM)
    machine = replace(direct(inches(21)), members=(*direct(inches(21)).members, pump))
    last = [say(bound.working[-1], ENGLISH) for bound in work(job(machine)).window.bounds if bound.worst]
    assert "crankshaft ≤ 3,455 rpm, nothing being cut" in last
    assert "crankshaft ≥ 3,001 rpm, loaded" in last


def test_the_last_digit_of_the_tachometer_takes_its_room_from_the_band():
    # By hand: a last digit of 20 rpm is 10 to each side, u = 5.774; 3,455.9 - 1.6449 x 5.774 - 10 = 3,436.4.
    asked = job(direct(inches(21), maker_no_load=figure(3440, 50)))
    coarse = replace(asked, instruments=(Instrument("T1", "tachometer", resolution=20 * RPM),))
    assert work(coarse).window.set_high == pytest.approx(3436.4 * RPM, abs=0.1 * RPM)


def test_the_best_tachometer_on_the_job_sets_the_room():
    # By hand: the finer one's last digit is 1 rpm, u = 0.289: 3,455.9 - 1.6449 x 0.289 - 10 = 3,445.5.
    asked = job(direct(inches(21), maker_no_load=figure(3440, 50)))
    fine, coarse = (Instrument(f"T{r}", "tachometer", resolution=r * RPM) for r in (1, 20))
    window = work(replace(asked, instruments=(coarse, fine))).window
    assert window.set_high == pytest.approx(3445.5 * RPM, abs=0.1 * RPM)
