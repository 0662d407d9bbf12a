"""What would open a shut window, or let the maker's figure in?"""

from dataclasses import replace

import pytest

from snath.decisions.job.work import work
from snath.decisions.machine.parts import Engine, Machine, Member
from snath.decisions.window.fold import folded
from snath.decisions.window.sold import next_sold
from snath.quantities.message import Amount, Message
from tests.machines import INCH, RPM, deck, direct, figure, inches, job


def test_a_direct_blade_left_at_3600_can_be_slowed_or_shortened():
    # By hand: largest blade at 3600 rpm: 12 x 19,000/(pi 3600) = 20.1596 in, to the sixteenth below 20 1/8 in.
    ways = {r.kind: r for r in work(job(direct(inches(21), maker_no_load=figure(3600)))).window.remedies}
    assert ways["engine speed"].value == pytest.approx(3455.9 * RPM, abs=0.05 * RPM)
    assert ways["blade"].value == pytest.approx(20.125 * INCH)
    assert ways["blade"].change == Message(
        "remedy.blade", shaft="crankshaft", size=Amount(ways["blade"].value, "length")
    )
    assert all(way.approval for way in ways.values())


def test_one_odd_sheave_has_three_ways_out():
    # By hand: 21 in blades allow 3455.9 rpm at the spindle. Centre and left 5.25 on 5.5 in: by outside 0.95455:
    # 3620.5 rpm at the crankshaft. Right 5.25 on 5.0 (odd): datum 5.0/4.75 = 1.05263: 3283.1. Figure 3400.
    machine = deck(
        {"left": (21, 5.25, 5.5), "centre": (21, 5.25, 5.5), "right": (21, 5.25, 5.0)},
        maker_no_load=figure(3400, 50),
    )
    window = work(job(machine)).window
    assert window.ceiling == pytest.approx(3283.1 * RPM, abs=0.1 * RPM)
    kinds = [(r.kind, r.shaft) for r in window.remedies]
    assert ("driven sheave", "right") in kinds
    assert ("blade", "right") in kinds
    assert ("engine speed", "crankshaft") in kinds
    assert all("left" not in shaft for _, shaft in kinds)
    grown = next(r for r in window.remedies if r.kind == "driven sheave")
    # By hand: needs ratio 3455.9/3400 = 1.016444; near 1 the outside ratio governs when slowing: 5.25/od <= 1.016444
    # and (5.0)/(od - 0.25) <= 1.016444 -> od >= 5.16913 in = 131.30 mm: the datum one is stricter. Sold next: 5 1/4 in.
    assert grown.exactly == pytest.approx(0.13130, abs=1e-5)
    assert grown.value == pytest.approx(5.25 * 0.0254, abs=1e-9)


def test_a_window_shut_by_a_pump_is_opened_only_by_what_moves_it():
    # By hand: blade 21 in direct allows 3455.9; the pump needs 3500: no speed will do; a shorter blade will.
    machine = direct(inches(21))
    pump = Member("pump", "crankshaft", "pump", speed_min=3500 * RPM)
    window = work(job(replace(machine, members=(*machine.members, pump)))).window
    assert not window.feasible
    assert [r.kind for r in window.remedies] == ["blade"]
    # By hand: 12 x 19,000/(pi 3500) = 20.7356 in, to the sixteenth below 20 11/16 = 20.6875 in.
    assert window.remedies[0].value == pytest.approx(20.6875 * INCH)


def test_a_remedy_that_was_run_again_holds_the_makers_figure():
    machine = deck({"only": (21, 5.25, 5.0)}, maker_no_load=figure(3400, 50))
    for remedy in work(job(machine)).window.remedies:
        if remedy.kind != "engine speed":
            assert remedy.ceiling >= 3400 * RPM


def test_an_open_window_needs_no_remedy():
    assert work(job(direct(inches(21), maker_no_load=figure(3300)))).window.remedies == ()


def test_one_engine_pulley_under_three_belts_is_exchanged_for_all_of_them():
    # By hand: 21 in blades allow 3455.9 rpm, the figure is 3400, so every ratio must stay under 1.016444. 5.5 on 5 in
    # by datum is 5.25/4.75 = 1.1053: shut on all three. (D - 0.25)/4.75 <= 1.016444 -> D <= 5.07811 in = 128.98 mm.
    sizes = dict.fromkeys(("left", "centre", "right"), (21, 5.5, 5.0))
    apart = deck(sizes, maker_no_load=figure(3400, 50))
    assert "driver sheave" not in [r.kind for r in work(job(apart)).window.remedies]
    together = replace(apart, couplings=tuple(one_iron(c) for c in apart.couplings))
    (smaller,) = [r for r in work(job(together)).window.remedies if r.kind == "driver sheave"]
    assert smaller.exactly == pytest.approx(0.12898, abs=1e-5)
    assert smaller.value == pytest.approx(5 * 0.0254, abs=1e-9)  # the next that is sold
    assert smaller.change.code == "remedy.sheave-most"
    assert smaller.change.values["shaft"] == "left, centre, right"
    assert smaller.ceiling >= 3400 * RPM


def one_iron(coupling):
    driver, driven = coupling.parts
    return replace(coupling, parts=(replace(driver, pulley="engine pulley"), driven))


def test_a_blade_under_nine_tenths_of_the_present_one_is_no_way_out():
    # By hand: a pump that needs 3,500 rpm lets a 21 in blade be cut to 20.735 in, 0.987 of it; one that needs 3,900
    # would ask for 18.609 in, 0.886.
    for needed, way in ((3500, True), (3900, False)):
        pump = Member("pump", "crankshaft", "pump", speed_min=needed * RPM)
        machine = direct(inches(21))
        window = work(job(replace(machine, members=(*machine.members, pump)))).window
        assert ("blade" in {remedy.kind for remedy in window.remedies}) == way


def test_without_a_ceiling_nothing_is_shut_and_nothing_is_to_be_opened():
    feed = Member("feed", "crankshaft", "other", speed_min=2000 * RPM)
    window = work(job(Machine("chipper", "chipper", Engine(), (), (feed,)))).window
    assert (window.feasible, window.shut, window.remedies) == (False, False, ())


@pytest.mark.parametrize(
    ("outside", "section", "direction", "sold"),
    [  # by hand, in mm: quarters of an inch to 6 in, halves to 10 in; metric by datum, R40, 4 mm (SPZ) below the rim
        (5.1 * 25.4, "A", -1, 5 * 25.4),
        (5.1 * 25.4, "A", +1, 5.25 * 25.4),
        (5.25 * 25.4, "A", +1, 5.25 * 25.4),
        (6.1 * 25.4, "B", +1, 6.5 * 25.4),
        (101, "SPZ", -1, 99),
        (101, "SPZ", +1, 104),
    ],
)
def test_the_next_size_that_is_sold(outside, section, direction, sold):
    offset = 0.004 if section == "SPZ" else 0.00635
    found = next_sold(outside / 1000, section=section, offset=offset, direction=direction)
    assert found == pytest.approx(sold / 1000, abs=1e-9)


def test_limits_that_say_the_same_are_one_row():
    # Three blades of one size behind equal sheaves, by two rules: one figure, one row; the engine's own apart.
    machine = deck(dict.fromkeys(("left", "centre", "right"), (21, 5.0, 5.0)), rated_max=60.0)
    window = work(job(replace(machine, use="at work"), market="US")).window
    rows = folded(window.bounds)
    assert [len({(b.member, b.rule) for b in row}) for row in rows] == [1, 6]
