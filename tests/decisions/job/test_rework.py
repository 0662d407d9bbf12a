"""A kept job worked again says of every difference whether the program, a changed row or a new row made it."""

import json
from dataclasses import replace

from snath.decisions.job.rework import rework
from snath.decisions.job.schema import result_to_json
from snath.decisions.job.work import work
from snath.rules.book import Rule, Scope
from snath.rules.load import shipped_rules
from tests.machines import WALK_BEHIND, direct, inches, job

BOOK = shipped_rules()
CONSUMER = next(rule for rule in BOOK if rule.id == "mower-tip-speed-consumer")


def a_row(id: str = "invented-tip-speed", at_most: float = 80.0, **more: object) -> Rule:
    """A row of tip speed that no book had when the job was kept."""
    given = {
        "limits": "blade tip speed",
        "kind": "surface speed",
        "printed": f"at most {at_most:g} m/s",
        "at_most": at_most,
        "scope": Scope(machines=(WALK_BEHIND,), members=("blade",)),
        "standing": "read",
    }
    return Rule(id, **{**given, **more})


def kept(**more: object):
    return job(direct(inches(21)), market="US", **more)


def again(one, book):
    return rework(one, result_to_json(work(one)), book)


def ceilings(differences) -> list[tuple[float, float]]:
    return [(then, now) for path, then, now in differences if path == "window.ceiling"]


def test_with_the_book_it_was_kept_with_nothing_moved():
    found = again(kept(), BOOK)
    assert found.unchanged
    assert (found.rules_moved, found.rules_new) == ((), ())


def test_a_result_whose_reasons_were_kept_as_text_moves_by_no_word_of_them():
    # Schema 1 kept sentences; its figures, verdicts and rule ids are compared, its prose is not.
    one = job(direct(inches(21)))
    then = json.loads(result_to_json(work(one)))
    then["schema"], then["notes"] = "snath-job-1", ["a sentence of that time"] * len(then["notes"])
    assert then["notes"]
    assert rework(one, json.dumps(then), BOOK).unchanged
    then["window"]["ceiling"] += 1
    assert not rework(one, json.dumps(then), BOOK).unchanged


def test_a_row_that_came_after_is_named_and_what_it_changes_stands_apart():
    new = a_row()
    found = again(kept(), (*BOOK, new))
    assert found.rules_new == (new,)
    assert (found.rules_moved, found.by_program, found.by_rules) == ((), (), ())
    # By hand: 96.52 / (pi 0.5334) = 57.5989 rev/s then, 80 / (pi 0.5334) = 47.7405 rev/s now.
    ((then, now),) = ceilings(found.by_new_rules)
    assert (round(then, 4), round(now, 4)) == (57.5989, 47.7405)
    assert not found.unchanged


def test_a_new_row_that_binds_nothing_is_named_and_changes_no_ceiling():
    found = again(kept(), (*BOOK, a_row(at_most=200.0)))
    assert [rule.id for rule in found.rules_new] == ["invented-tip-speed"]
    assert ceilings(found.by_new_rules) == []


def test_a_changed_row_and_a_new_row_are_told_apart():
    stricter = tuple(replace(rule, at_most=90.0) if rule.id == CONSUMER.id else rule for rule in BOOK)
    found = again(kept(), (*stricter, a_row()))
    # By hand: 90 / (pi 0.5334) = 53.7081 rev/s by the changed row alone, 47.7405 with the new one.
    ((_, changed),) = ceilings(found.by_rules)
    ((before, new),) = ceilings(found.by_new_rules)
    assert found.rules_moved == (CONSUMER.id,)
    assert (round(changed, 4), round(before, 4), round(new, 4)) == (53.7081, 53.7081, 47.7405)


def test_a_row_of_the_shop_in_place_of_a_kept_one_takes_its_place():
    own = a_row("ours", 100.0, standing="shop", overrides=CONSUMER.id)
    book = (*(rule for rule in BOOK if rule.id != CONSUMER.id), own)
    found = again(kept(), book)
    assert (found.rules_moved, found.rules_new) == ((CONSUMER.id,), (own,))
    assert found.by_rules == ()  # a row that is gone is kept until another stands in its place
    # By hand: 100 / (pi 0.5334) = 59.6756 rev/s, above what the kept row gave.
    ((_, now),) = ceilings(found.by_new_rules)
    assert round(now, 4) == 59.6756


def test_rows_for_other_machines_markets_and_years_are_no_news():
    others = (
        a_row("other-machine", scope=Scope(machines=("generator",), members=("alternator",))),
        a_row("other-market", scope=Scope(machines=(WALK_BEHIND,), members=("blade",), markets=("EU",))),
        a_row("historical", in_force=False),
        a_row("explains", explains=True),
    )
    found = again(kept(), (*BOOK, *others))
    assert found.rules_new == ()
    assert found.unchanged


def test_a_row_chosen_by_hand_keeps_new_surface_speeds_out_but_not_a_new_stop_time():
    stop = a_row("new-stop", 2.0, limits="stop time", kind="stopping time", printed="at most 2.0 s")
    found = again(kept(only=CONSUMER.id), (*BOOK, a_row(), stop))
    assert found.rules_new == (stop,)
