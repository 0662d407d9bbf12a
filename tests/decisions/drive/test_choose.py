"""Whole choices: from sheet, route and shelf to drives that have been through the one door."""

import math
from pathlib import Path

import pytest

from snath.decisions.drive.ask import problem_for
from snath.decisions.drive.choose import choose
from snath.decisions.drive.frame_sheet import read_frame
from snath.decisions.drive.stock_csv import read_stock
from snath.decisions.job.assemble import job_for
from snath.decisions.machine.sheet import read_sheet
from snath.quantities.message import Message
from snath.rules.load import shipped_rules
from snath.words.render import ENGLISH, say
from tests.told import refused

EXAMPLES = Path(__file__).parents[3] / "examples"
IN = 0.0254
LIMIT = 96.52  # m/s; 19,000 ft/min


def text(*place):
    return EXAMPLES.joinpath(*place).read_text("utf-8")


def shelf(sheaves=None, belts=None):
    return read_stock(
        sheaves=text("stock", "sheaves.csv") if sheaves is None else sheaves,
        belts=text("stock", "belts.csv") if belts is None else belts,
    )


def frame(name, change=lambda text: text):
    return read_frame(change(text("routes", f"{name}.route.toml")))


@pytest.fixture(scope="module")
def rule():
    return next(
        r.id
        for r in shipped_rules()
        if r.at_most is not None and math.isclose(r.at_most, LIMIT, rel_tol=1e-4)
    )


@pytest.fixture(scope="module")
def jobs(rule):
    return {
        n: job_for(read_sheet(text(f"{n}.toml")), shipped_rules(), only=rule)
        for n in ("belt_28_inch", "deck_52_inch")
    }


def test_in_a_slowing_drive_the_outside_diameters_decide(jobs):
    # By hand: 28 in at 19,000 ft/min is 2591.95 rpm. 3.75 on 5 in outside: 0.7500 by outside, 3.5/4.75 = 0.7368 by
    # datum; the worse, 0.7500, leaves 3455.9 rpm at the engine.
    found = choose(jobs["belt_28_inch"], frame("belt_28_inch"), shelf())
    drive = next(
        d
        for d in found.drives
        if d.candidate.choices[0].number == "104" and not d.candidate.choices[1].changed
    )
    assert drive.window.ceiling * 60 == pytest.approx(2591.95 / 0.75, abs=0.1)
    assert drive.candidate.margin == pytest.approx(3455.9 / 3300 - 1, abs=1e-4)


def test_in_a_speeding_drive_the_datum_diameters_decide(jobs):
    # By hand: 17.5 in at 19,000 ft/min is 4147.1 rpm. 5.75 on 4.75 in: 1.2105 by outside, 5.5/4.5 = 1.2222 by datum;
    # the worse, 1.2222, leaves 3393.1 rpm.
    found = choose(jobs["deck_52_inch"], frame("deck_52_inch"), shelf())
    drive = found.drives[0]
    assert drive.candidate.choices[0].number == "202"
    assert drive.window.ceiling * 60 == pytest.approx(4147.1 * 4.5 / 5.5, abs=0.1)


def test_original_parts_come_first_and_only_what_is_odd_is_changed(jobs):
    found = choose(jobs["deck_52_inch"], frame("deck_52_inch"), shelf())
    first, *others = found.drives
    assert first.original
    assert [c.part for c in first.candidate.choices if c.changed] == ["DK-2201"]
    assert not any(d.original for d in others if d.candidate.changed)
    # stock number 203 is the same size, cheaper, and not the maker's: it does not come first
    assert [d.candidate.choices[0].number for d in others][1] == "203"


def test_every_drive_shown_keeps_every_tip_under_its_limit_at_the_speed_it_was_chosen_for(jobs):
    # Property, by the ratios of the fitted machine: pi D n ratio stays under 19,000 ft/min.
    for name, blade in (("belt_28_inch", 28), ("deck_52_inch", 17.5)):
        found = choose(jobs[name], frame(name), shelf())
        assert found.exhaustive
        assert found.dropped == 0
        assert len(found.drives) >= 5
        for drive in found.drives:
            for coupling in drive.machine.couplings:
                worst = max(r.value.value for r in coupling.alternatives)
                assert math.pi * blade * IN * found.problem.speed * worst <= LIMIT * (1 + 1e-6)
            assert drive.window.feasible
            assert drive.seat.route.length == pytest.approx(drive.candidate.belt.belt.length, abs=1e-9)


def test_with_nothing_that_will_do_it_names_the_miss_and_the_one_part_to_buy(jobs):
    one_bad = "number,section,outside,bore\n1,A,4 1/2 in,1 in key\n"
    found = choose(jobs["belt_28_inch"], frame("belt_28_inch"), shelf(one_bad, ""))
    assert found.drives == ()
    words = [say(m.message, ENGLISH) for m in found.misses]
    # By hand: as it is, 2591.95 rpm over 0.8 leaves 3239.9 rpm; 3300 rpm is 1.9 % over.
    assert any("1.9 % over its limit" in w for w in words)
    assert any(m.buy and "Buy one pulley for blade" in say(m.message, ENGLISH) for m in found.misses)
    bought = [m.candidate for m in found.misses if m.buy]
    assert all(c.changed == 1 for c in bought)


def test_a_missing_belt_is_named_with_its_length(jobs):
    # The small driver fits, but no belt in stock is as short as it needs.
    sheaves = "number,section,outside,bore\n1,A,5 1/2 in,5/8 in key\n2,A,3 in,1 in key\n"
    short = frame("belt_28_inch", lambda t: t.replace('"450 mm"', '"300 mm"'))
    found = choose(jobs["belt_28_inch"], short, shelf(sheaves, ""))
    assert found.drives == ()
    assert any(
        m.buy and say(m.message, ENGLISH).startswith("Buy one belt: section A, datum length about")
        for m in found.misses
    )


def test_a_blade_that_would_run_backwards_is_refused(jobs, rule):
    sheet = text("belt_28_inch.toml").replace(
        'driven = "spindle"\n', 'driven = "spindle"\nsense = "opposite"\n'
    )
    with refused("the blade would run backwards"):
        choose(job_for(read_sheet(sheet), shipped_rules(), only=rule), frame("belt_28_inch"), shelf())


def test_sheet_and_route_that_disagree_on_a_sheave_are_refused(jobs):
    with refused(r"the machine sheet says 127.0 mm for the driven pulley"):
        problem_for(
            jobs["belt_28_inch"],
            frame("belt_28_inch", lambda t: t.replace('"5 in"\nbore', '"6 in"\nbore')),
            shelf(),
        )


def test_an_idler_in_the_pulling_run_is_refused(jobs):
    def moved(t):
        head, *blocks = t.split("[[pulley]]")
        last, fit = blocks[-1].split("[fit]")
        return (
            "[[pulley]]".join([head, blocks[0], last, *reversed(blocks[1:-1])]).replace(
                '"clockwise"', '"counter-clockwise"'
            )
            + "\n[fit]"
            + fit
        )

    with refused("must be in the slack run"):
        problem_for(jobs["deck_52_inch"], frame("deck_52_inch", moved), shelf())


def test_without_a_movable_pulley_there_is_nothing_to_choose(jobs):
    with refused("one pulley needs a slot or an arm"):
        problem_for(
            jobs["belt_28_inch"],
            frame(
                "belt_28_inch",
                lambda t: t.replace(
                    '[pulley.slot]\nslack = ["30 mm", "0 mm"]\ntight = ["-70 mm", "0 mm"]', ""
                ).replace('outside = "4 in"', 'outside = "4 in"\nat = ["0 mm", "0 mm"]'),
            ),
            shelf(),
        )


def test_a_worn_blade_sheave_speeds_the_blade_and_lowers_the_ceiling(jobs):
    # By hand: the belt has sunk 1 mm, so the kept 5 in sheave counts as 5 - 2/25.4 = 4.9213 in. With 3.75 in on the
    # engine the ceiling falls from 2591.95 x 5 / 3.75 = 3455.9 to 2591.95 x 4.9213 / 3.75 = 3401.5 rpm.
    sunk = frame("belt_28_inch", lambda t: t.replace('outside = "5 in"', 'outside = "5 in"\nride = "-1 mm"'))
    for route, by_hand in ((frame("belt_28_inch"), 3455.9), (sunk, 3401.5)):
        found = choose(jobs["belt_28_inch"], route, shelf())
        assert found.dropped == 0
        kept = next(
            d
            for d in found.drives
            if d.candidate.choices[0].number == "104" and not d.candidate.choices[1].changed
        )
        assert kept.window.ceiling * 60 == pytest.approx(by_hand, abs=0.2)
        assert kept.candidate.margin == pytest.approx(by_hand / 3300 - 1, abs=1e-4)


def test_without_a_known_pull_grip_is_told_against_the_drive_as_it_is(jobs):
    # Property: the drive that is on has just nothing to spare, at the worse end of its take-up.
    slower = frame("belt_28_inch", lambda t: t.replace('power       = "5 hp"', 'speed = "3,200 rpm"'))
    found = choose(jobs["belt_28_inch"], slower, shelf())
    (now,) = [d for d in found.drives if d.candidate.changed == 0]
    assert now.candidate.grip == pytest.approx(0, abs=1e-9)
    assert now.load is None


def test_a_groove_whose_bottom_shines_is_not_reckoned_with(jobs):
    bottomed = frame(
        "belt_28_inch", lambda t: t.replace('outside = "5 in"', 'outside = "5 in"\nshiny_bottom = true')
    )
    with refused("no ratio can be told from its diameter"):
        choose(jobs["belt_28_inch"], bottomed, shelf())


def test_a_special_belt_is_not_rated_and_said_so(jobs):
    aramid = frame("belt_28_inch", lambda t: t.replace('name = "A51"', 'name = "A51"\naramid = true'))
    found = choose(jobs["belt_28_inch"], aramid, shelf(belts=""))
    assert all("drive.unrated" in [n.code for n in d.notes] for d in found.drives)
    rated = choose(jobs["belt_28_inch"], frame("belt_28_inch"), shelf(belts=""))
    assert all(any("IP-20, 1988 (memory)" in say(n, ENGLISH) for n in d.notes) for d in rated.drives)


def test_a_search_that_stops_early_says_so(jobs):
    found = choose(jobs["deck_52_inch"], frame("deck_52_inch"), shelf(), most=5)
    assert not found.exhaustive


def test_makers_parts_that_are_not_there_are_to_be_ordered_first(jobs):
    found = choose(
        jobs["deck_52_inch"],
        frame("deck_52_inch"),
        shelf(text("stock", "sheaves.csv").replace("DK-2201", "")),
    )
    assert Message("drive.part-for", part="DK-2201", name="engine") in found.to_order


def test_a_pulley_another_belt_runs_on_too_is_not_exchanged(rule):
    # Property: exchanging it would change the speed of a pump nobody asked about.
    pump = '[[coupling]]\ndriven = "pump"\n[coupling.belt]\nsection = "A"\ndriver_pulley = "engine"\n'
    sheet = text("belt_28_inch.toml").replace(
        "driver_outside", 'driver_pulley = "engine"\ndriver_part = "X-1"\ndriver_outside'
    )
    shared = read_sheet(sheet.replace("[[member]]", pump + 'driven_outside = "4 in"\n\n[[member]]', 1))
    job = job_for(shared, shipped_rules(), only=rule)
    engine, *others = problem_for(job, frame("belt_28_inch"), shelf()).positions
    assert engine.stays
    assert [c.changed for c in engine.choices] == [False]
    assert any(len(position.choices) > 1 for position in others)
    found = choose(job, frame("belt_28_inch"), shelf())
    assert found.dropped == 0
    assert not any(part.values["name"] == "engine" for part in found.to_order)
    nothing = choose(job, frame("belt_28_inch"), shelf(sheaves="", belts=""))
    assert not any("Buy one pulley for engine" in say(miss.message, ENGLISH) for miss in nothing.misses)
