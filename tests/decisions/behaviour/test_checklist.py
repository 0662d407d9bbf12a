"""Checks of a speed job: the right ones for the machine, one tick a stage, and faults that are not forgotten."""

from dataclasses import replace

import pytest

from snath.decisions.behaviour.asked import ChecklistInput, Mark
from snath.decisions.behaviour.checklist import NOT_A_MANUAL, RUNS, SETS, checklist, checks
from snath.decisions.machine.parts import Engine, Machine, Member
from snath.quantities.errors import InputError
from snath.quantities.message import Message, term
from snath.rules.kinds import MEMBER_KINDS
from snath.rules.scope import MACHINE_KINDS
from tests.told import refused


def of_kind(kind, member="blade", **engine):
    return Machine("one", kind, Engine(**engine), members=(Member("part", "crankshaft", member),))


MOWER = of_kind("walk-behind rotary mower")
SET = of_kind("generator", "alternator", governor="electronic")
TICKED = ChecklistInput(in_order=("as found", "as left"))
SET_UP = tuple(Mark(check.id, "done") for check in checks() if check.when == SETS)


def ids(machine, when=None):
    items = checklist(machine, ChecklistInput()).items
    return {item.check.id for item in items if when in (None, item.check.when)}


def test_every_check_has_its_name_and_caution_and_speaks_of_machines_there_are():
    assert len(checks()) >= 40
    for check in checks():
        assert set(check.machines) <= set(MACHINE_KINDS)
        assert set(check.members) <= set(MEMBER_KINDS)


def test_no_two_checks_of_one_machine_share_a_name():
    for kind in MACHINE_KINDS:
        names = [item.check.name for item in checklist(of_kind(kind), ChecklistInput()).items]
        assert len(names) == len(set(names))


@pytest.mark.parametrize("kind", MACHINE_KINDS)
def test_every_machine_is_asked_for_guards_stop_and_people_before_it_runs(kind):
    assert {"guards", "kill", "bystanders"} <= ids(of_kind(kind), RUNS)


# Which check must stand before which machine runs: the list of the issue, common practice, no source.
@pytest.mark.parametrize(
    ("machine", "wanted", "foreign"),
    [
        (MOWER, {"blade-condition", "stop-control", "linkage", "shroud", "fuel-tight"}, {"volts", "wheel"}),
        (of_kind("ride-on rotary mower"), {"interlocks", "brakes", "attachment-idle"}, {"pto-guard", "knives"}),
        (of_kind("walk-behind rotary mower", governor="air vane"), {"vane", "linkage"}, {"brakes"}),
        (of_kind("cut-off saw", "wheel", governor="none"), {"wheel", "wheel-speed"}, {"linkage", "blade-on"}),
        (of_kind("brush cutter", "disc", governor="none"), {"cutter-head", "attachment-idle"}, {"linkage"}),
        (of_kind("string trimmer", "string head"), {"cutter-head", "attachment-idle"}, {"blade-on"}),
        (of_kind("edger"), {"blade-condition", "stop-control", "attachment-idle"}, {"brakes"}),
        (of_kind("go-kart", "other"), {"brakes", "attachment-idle"}, {"blade-on"}),
        (of_kind("PTO machine"), {"pto-guard"}, {"interlocks"}),
        (of_kind("chipper", "other"), {"knives"}, {"blade-on"}),
        (SET, {"loads-off", "backfeed", "volts", "fuel-tight"}, {"linkage", "stop-control", "blade-on"}),
        (of_kind("electric rotary mower", prime_mover="mains motor"), {"cable-whole"}, {"fuel-tight", "linkage"}),
        (of_kind("electric rotary mower", prime_mover="battery motor"), {"battery-whole"}, {"shroud"}),
    ],
    ids=lambda value: value.kind if isinstance(value, Machine) else "",
)  # fmt: skip
def test_the_checks_before_it_runs_are_those_of_the_machine(machine, wanted, foreign):
    assert wanted <= ids(machine, RUNS)
    assert not foreign & ids(machine)


@pytest.mark.parametrize(
    ("engine", "wanted"),
    [("engine", "leads"), ("mains motor", "mains-out"), ("battery motor", "battery-out")],
)
def test_before_a_hand_goes_near_it_is_made_harmless_by_what_turns_it(engine, wanted):
    first = ids(of_kind("other", prime_mover=engine), "before a hand goes near")
    assert first & {"leads", "mains-out", "battery-out"} == {wanted}


def test_one_tick_answers_the_list_of_its_stage_and_of_no_other():
    assert checklist(MOWER, ChecklistInput()).answered == ()
    assert checklist(MOWER, ChecklistInput(in_order=("as found",))).answered == ("as found",)
    assert checklist(MOWER, TICKED).answered == ("as found", "as left")


def test_a_list_marked_singly_needs_no_tick_and_a_single_open_mark_outweighs_one():
    marks = tuple(Mark(id, "done") for id in ids(MOWER, RUNS))
    assert checklist(MOWER, ChecklistInput(marks)).answered == ("as found", "as left")
    assert checklist(MOWER, ChecklistInput(marks[1:])).answered == ()
    assert checklist(MOWER, replace(TICKED, marks=(Mark("kill", "open"),))).answered == ()


@pytest.mark.parametrize("check", [check.id for check in checks()])
def test_a_fault_on_any_check_blocks_until_what_was_done_and_by_whom_is_said(check):
    fault = Mark(check, "fault", "broken")
    found = checklist(MOWER, replace(TICKED, marks=(*(m for m in SET_UP if m.check != check), fault)))
    assert found.blocking == (Message("checks.fault", check=term("check", f"{check}-name"), note="broken"),)
    assert not found.may_set
    right = replace(fault, put_right="a new one fitted", by="M.")
    found = checklist(MOWER, replace(TICKED, marks=(*(m for m in SET_UP if m.check != check), right)))
    assert found.blocking == ()
    assert found.may_set


@pytest.mark.parametrize("half", [{"put_right": "a new one"}, {"by": "M."}, {"put_right": "x", "by": "  "}])
def test_put_right_without_what_or_without_whom_is_refused(half):
    with pytest.raises(InputError, match=r"kill\.(by|put_right) = nothing: checks.say-(who|what)"):
        checklist(MOWER, ChecklistInput((Mark("kill", "fault", "dead", **half),)))


def test_nothing_is_set_until_what_comes_first_is_settled():
    assert not checklist(MOWER, ChecklistInput()).may_set
    assert not checklist(MOWER, TICKED).may_set
    assert not checklist(MOWER, ChecklistInput(SET_UP)).may_set
    assert checklist(MOWER, replace(TICKED, marks=SET_UP)).may_set


def test_not_adjustable_here_is_an_outcome():
    got = checklist(MOWER, ChecklistInput(not_adjustable="sealed"))
    assert got.outcome == term("not-adjustable", "sealed")
    assert not got.may_set


def test_it_says_that_it_is_no_manual():
    assert NOT_A_MANUAL in checklist(MOWER, ChecklistInput()).notes


def test_unknown_checks_states_stages_and_reasons_are_refused():
    with refused(r"check = polish: must be one of"):
        checklist(MOWER, ChecklistInput((Mark("polish", "done"),)))
    with refused(r"warm = maybe: must be one of open, done, fault"):
        checklist(MOWER, ChecklistInput((Mark("warm", "maybe"),)))
    with refused(r"in_order = later: must be one of as found, as left"):
        checklist(MOWER, ChecklistInput(in_order=("later",)))
    with refused("outcome = tired: must be one of sealed"):
        checklist(MOWER, ChecklistInput(not_adjustable="tired"))


# What earlier job files could mark: each must still be read (their ids as they were kept, common practice).
EARLIER = (
    *("manual", "fuel-oil", "blade-on", "warm", "cable", "linkage", "static", "vane", "idle", "seals"),
    *("blade-condition", "balance", "belt", "guards", "bystanders", "stop-control", "kill"),
)


def test_marks_of_earlier_job_files_are_still_known():
    assert set(EARLIER) <= {check.id for check in checks()}
