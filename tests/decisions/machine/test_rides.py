"""How a belt rides in its grooves: flush, sunk, above, or nobody looked; and grooves for two sections."""

import math

import pytest

from snath.decisions.job.assemble import job_for
from snath.decisions.job.work import work
from snath.decisions.machine.sheet import read_sheet
from snath.formulas.belts.sections import combination_depths
from snath.quantities.errors import InputErrors
from snath.rules.load import shipped_rules
from snath.words.render import ENGLISH, say
from tests.told import told

INCH = 25.4  # mm
NOT_LOOKED = "machine.taken-ride"
SHEET = """
name = "61 in commercial"
kind = "commercial rotary mower"
use = "at work"
[engine]
clutch = "none"
[[coupling]]
driven = "spindle"
[coupling.belt]
section = "{section}"
driver_outside = "6 1/2 in"
driven_outside = "6 1/2 in"
sizes_from = "parts list"
{rides}
[[member]]
name = "blade"
shaft = "spindle"
[member.blade]
arms = ["10 1/2 in", "10 1/2 in"]
"""


def machine(rides="", section="B"):
    return read_sheet(SHEET.format(rides=rides, section=section))


def ratios(rides="", section="B"):
    return {say(r.name, ENGLISH): r.value.value for r in machine(rides, section).couplings[0].alternatives}


@pytest.mark.parametrize(("sunk", "tip"), [("3 mm", 19_512), ("1.5 mm", 19_150)])
def test_a_belt_sunk_in_the_blade_sheave_runs_the_blade_faster(sunk, tip):
    # By hand: 6.5 / (6.5 - 2 x 3 / 25.4) = 1.03771; pi x 21/12 x 3,420 x 1.03771 = 19,512 ft/min at 3,420 rpm of
    # the engine; with 1.5 mm 19,150. By outside diameters, as the figures of the trade have it.
    found = ratios(f'driver_rides = "flush"\ndriven_rides = "sunk"\ndriven_by = "{sunk}"')
    assert math.pi * 21 / 12 * 3420 * found["by outside diameter"] == pytest.approx(tip, abs=0.6)


def test_looked_at_and_flush_leaves_two_ways_to_see_it():
    assert ratios('driver_rides = "flush"\ndriven_rides = "flush"') == {
        "by outside diameter": 1.0,
        "by datum diameter": 1.0,
    }


def test_nobody_looked_each_groove_may_be_worn_by_itself():
    found = ratios()
    # By hand: 6.5 in and 6.15 in (B groove, 0.35 in), less 6 mm where the belt has sunk 3 mm.
    for name, circle in (("by outside diameter", 6.5 * INCH), ("by datum diameter", 6.15 * INCH)):
        assert found[name] == 1.0
        assert found[f"{name}, belt sunk 3.0 mm, driven pulley"] == pytest.approx(circle / (circle - 6))
        assert found[f"{name}, belt sunk 3.0 mm, driving pulley"] == pytest.approx((circle - 6) / circle)
    assert len(found) == 6


def test_the_window_takes_the_worst_groove_and_says_that_nobody_looked():
    found = work(job_for(machine(), shipped_rules()))
    # By hand: 3,455.9 / (156.21 / 150.21) = 3,323.2 rpm.
    assert found.window.ceiling * 60 == pytest.approx(3455.9 * 150.21 / 156.21, abs=0.1)
    (note,) = [note for note in found.notes if note.code == NOT_LOOKED]
    assert [one.values["what"].code for one in note.values["of"]] == [
        "size.driver-sheave",
        "size.driven-sheave",
    ]
    looked = work(job_for(machine('driver_rides = "flush"\ndriven_rides = "flush"'), shipped_rules()))
    assert looked.window.ceiling * 60 == pytest.approx(3455.9, abs=0.05)
    assert NOT_LOOKED not in {note.code for note in looked.notes}


def test_a_belt_that_stands_above_slows_what_it_drives():
    found = ratios('driver_rides = "flush"\ndriven_rides = "above"\ndriven_by = "1 mm ± 0.5 mm"')
    assert found["by outside diameter"] == pytest.approx(165.1 / 167.1)  # by hand: 6.5 in is 165.1 mm


def test_a_measured_depth_has_its_doubt_and_without_plus_minus_that_of_a_tape():
    given = machine('driver_rides = "flush"\ndriven_rides = "sunk"\ndriven_by = "2 mm ± 0.5 mm"')
    bare = machine('driver_rides = "flush"\ndriven_rides = "sunk"\ndriven_by = "2 mm"')
    # By hand: d ratio / d depth = 2 x 165.1 / 161.1^2 per mm.
    slope = 2 * 165.1 / 161.1**2 / math.sqrt(3)
    for found, half in ((given, 0.5), (bare, 1.0)):
        assert found.couplings[0].alternatives[0].value.u == pytest.approx(slope * half)


def test_in_a_combination_groove_an_a_belt_lies_deeper_and_a_b_belt_a_little_higher():
    # By hand from Machinery's Handbook 31, table 9 (read): A (0.62 - 0.25) / 2 = 0.185 in deeper; B between
    # (0.28 - 0.35) / 2 and (0.33 - 0.35) / 2, 0.035 to 0.010 in higher.
    assert [d * 1000 / INCH for d in combination_depths("AX")] == pytest.approx([0.185])
    assert [d * 1000 / INCH for d in combination_depths("B")] == pytest.approx([-0.035, -0.010])
    assert combination_depths("C") == ()
    found = ratios('driver_rides = "flush"\ndriven_groove = "A/B combination"', "A")
    # By hand: in the driven sheave 6.5 - 0.37 = 6.13 in by outside; worn by another 3 mm 6.13 - 0.23622.
    assert found["by outside diameter, belt sunk 4.7 mm, driven pulley"] == pytest.approx(6.5 / 6.13)
    worn = found["by outside diameter, belt sunk 7.7 mm, driven pulley"]
    assert worn == pytest.approx(6.5 / (6.13 - 6 / INCH))


def test_how_it_rides_ends_the_question_of_the_groove():
    looked = 'driver_rides = "flush"\ndriven_rides = "flush"\n'
    assert ratios(looked + 'driven_groove = "A/B combination"', "A") == ratios(looked, "A")


def test_a_counted_ratio_ends_the_question():
    text = SHEET.format(rides="", section="B")
    head, tail = text.split("[coupling.belt]")
    counted = (
        '[coupling.counted]\nturns_in = "50 turns"\nturns_out = "51 turns"\nresolution = "10 deg"\n[[member]]'
    )
    found = work(job_for(read_sheet(head + counted + tail.split("[[member]]")[1]), shipped_rules()))
    assert NOT_LOOKED not in {note.code for note in found.notes}


@pytest.mark.parametrize(
    ("rides", "section", "message"),
    [
        ('driven_rides = "sunk"', "B", "driven_by = nothing: say by how much"),
        (
            'driven_rides = "flush"\ndriven_by = "2 mm"',
            "B",
            "driven_by = 2 mm: goes only with",
        ),
        ('driven_by = "2 mm"', "B", "driven_by = 2 mm: goes only with"),
        ('driven_rides = "deep"', "B", "must be one of not looked, flush, sunk, above"),
        (
            'driven_groove = "A/B combination"',
            "C",
            "driven_groove = C: a combination groove takes",
        ),
        ('driven_rides = "sunk"\ndriven_by = "2 in"', "B", "at most 0.750 in"),
    ],
)
def test_what_cannot_be_is_refused(rides, section, message):
    with pytest.raises(InputErrors) as caught:
        machine(rides, section)
    assert message in told(caught.value)
