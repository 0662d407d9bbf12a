"""Checks of a speed job: the right ones for the machine, and nothing set before the first ones are done."""

from snath.decisions.behaviour.checklist import NOT_A_MANUAL, ChecklistInput, Mark, checklist, checks
from snath.decisions.machine.parts import Engine, Machine
from tests.told import refused

MOWER = Machine("Mower", "walk-behind rotary mower", Engine())
SET = Machine("Set", "generator", Engine(governor="electronic"))


def test_every_check_has_its_caution():
    assert len(checks()) >= 15
    assert all(check.text and check.caution for check in checks())


def test_a_mower_is_asked_about_its_blade_and_a_generator_is_not():
    of_mower = {item.check.id for item in checklist(MOWER, ChecklistInput()).items}
    of_set = {item.check.id for item in checklist(SET, ChecklistInput()).items}
    assert {"blade-on", "static", "linkage", "stop-control"} <= of_mower
    assert not {"blade-on", "static", "vane"} & of_set


def test_nothing_is_set_until_what_comes_first_is_settled():
    nothing = checklist(MOWER, ChecklistInput())
    assert not nothing.may_set
    before = [item.check.id for item in nothing.items if item.check.before_setting]
    marks = tuple(Mark(id, "done") for id in before)
    assert checklist(MOWER, ChecklistInput(marks)).may_set
    faulty = (*marks[:-1], Mark(before[-1], "fault"))
    assert not checklist(MOWER, ChecklistInput(faulty)).may_set


def test_not_adjustable_here_is_an_outcome():
    got = checklist(MOWER, ChecklistInput(not_adjustable="sealed"))
    assert "sealed" in got.outcome
    assert not got.may_set


def test_it_says_that_it_is_no_manual():
    assert NOT_A_MANUAL in checklist(MOWER, ChecklistInput()).notes


def test_unknown_checks_states_and_reasons_are_refused():
    with refused(r"check = polish: must be one of"):
        checklist(MOWER, ChecklistInput((Mark("polish", "done"),)))
    with refused(r"warm = maybe: must be one of open, done, fault"):
        checklist(MOWER, ChecklistInput((Mark("warm", "maybe"),)))
    with refused("outcome = tired: must be one of sealed"):
        checklist(MOWER, ChecklistInput(not_adjustable="tired"))
