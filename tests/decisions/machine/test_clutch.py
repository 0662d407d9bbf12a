"""A clutch is centrifugal, engaged by hand or none; for riders it must be said."""

import pytest

from snath.decisions.job.assemble import job_for
from snath.decisions.job.work import work
from snath.decisions.machine.clutch import allowed_condition, clutch_word, conditions
from snath.decisions.machine.sheet import read_sheet
from snath.quantities.errors import InputError, InputErrors
from snath.rules.load import shipped_rules

SHEET = """
name = "m"
kind = "{kind}"
[engine]
rated_max = "11,000 rpm"
{clutch}
[engine.maker_no_load]
speed = "9,000 rpm ± 300 rpm"
condition = "blades off"
source = "manual"
[[member]]
name = "head"
[member.string_head]
speed_max = "9,500 rpm"
"""


def machine(kind, clutch=""):
    return read_sheet(SHEET.format(kind=kind, clutch=clutch))


@pytest.mark.parametrize(
    ("kind", "clutch", "by_hand", "centrifugal"),
    [
        ("brush cutter", 'clutch = "centrifugal"', False, True),
        ("ride-on rotary mower", 'clutch = "by hand"', True, False),
        ("ride-on rotary mower", 'clutch = "none"', False, False),
        ("walk-behind rotary mower", "", False, False),
        # as earlier sheets have it
        ("brush cutter", "clutch = true", False, True),
        ("cut-off saw", "clutch = true", False, True),
        ("tiller", "clutch = true", True, False),
        ("commercial rotary mower", "clutch = false", False, False),
    ],
)
def test_what_engages_the_blades(kind, clutch, by_hand, centrifugal):
    engine = machine(kind, clutch).engine
    assert (engine.clutch, engine.centrifugal) == (by_hand, centrifugal)


@pytest.mark.parametrize("kind", ["ride-on rotary mower", "commercial rotary mower"])
def test_a_riders_clutch_must_be_said(kind):
    with pytest.raises(InputErrors) as caught:
        machine(kind)
    (fault,) = caught.value.faults
    assert fault.field == "engine.clutch"


def test_without_a_hand_clutch_blades_in_air_is_the_no_load_condition():
    cutter, rider = machine("brush cutter"), machine("ride-on rotary mower", 'clutch = "by hand"')
    assert cutter.engine.maker_no_load.condition == "blades in air"
    assert rider.engine.maker_no_load.condition == "blades off"
    assert conditions(cutter) == ("blades in air", "cutting", "peak", "idle")
    assert allowed_condition(rider, "blades off") == "blades off"
    with pytest.raises(InputError) as caught:
        allowed_condition(cutter, "blades off")
    assert caught.value.allowed.code == "reading.nothing-disengaged"  # its disc is no blade
    with pytest.raises(InputError) as caught:
        allowed_condition(machine("walk-behind rotary mower"), "blades off")
    assert caught.value.allowed.code == "reading.no-blades-off"


def test_a_machine_engaged_by_speed_is_never_to_run_without_its_head():
    for clutch, told in (('clutch = "centrifugal"', True), ("", False)):
        found = work(job_for(machine("brush cutter", clutch), shipped_rules()))
        assert ("machine.never-without-head" in {note.code for note in found.notes}) == told


def test_the_word_of_the_form_is_the_word_of_the_sheet():
    assert [clutch_word("tiller", word) for word in (True, False, None, "centrifugal")] == [
        "by hand",
        "none",
        "none",
        "centrifugal",
    ]
