"""How fast does each shaft turn for one turn of the crankshaft?"""

import pytest

from snath.decisions.machine.drivetrain import may_slip, sense, slip, speed_ratios
from snath.decisions.machine.parts import CRANKSHAFT, Coupling, Engine, Machine, Ratio
from snath.quantities.measured import Line, Measured
from tests.machines import WALK_BEHIND, a_belt, deck


def test_a_belt_gives_two_ratios_by_two_conventions():
    # Published: Machinery's Handbook 31, Table 9 (IP-20): 2hd = 0.250 in and 2ap = 0 for A; a 3.0 in sheave on
    # 5.0 in gives 0.6 by outside and 2.75/4.75 by datum: 2,160 and 2,084.2 rpm from 3,600, 3.64 % apart.
    by_outside, by_datum = speed_ratios(deck({"left": (18, 3.0, 5.0)}), of="left")
    assert by_outside.value.value * 3600 == pytest.approx(2160, abs=1e-6)
    assert by_datum.value.value * 3600 == pytest.approx(2084.2, abs=0.1)
    assert by_outside.value.value / by_datum.value.value - 1 == pytest.approx(0.0364, abs=0.0002)


def test_a_shared_belt_cancels_between_two_spindles():
    jack = a_belt("jackshaft", 3, 5)
    doubtful = Measured(1.2, (Line("count", 0.01),))
    couplings = (
        jack,
        Coupling("jackshaft", "left", (Ratio("as counted", doubtful),), kind="counted"),
        Coupling("jackshaft", "right", (Ratio("as counted", doubtful),), kind="counted"),
    )
    machine = Machine("deck", WALK_BEHIND, Engine(), couplings)
    (between,) = speed_ratios(machine, of="left", per="right")
    assert (between.value.value, between.value.u) == (pytest.approx(1.0), pytest.approx(0.0, abs=1e-15))
    assert len(speed_ratios(machine, of="left")) == 2


def test_a_long_train_keeps_its_extremes_and_no_product_of_all():
    # By hand: each of twelve belts gives 0.6 or 2.75/4.75.
    couplings = tuple(
        a_belt(f"shaft {i + 1}", 3, 5, driver=f"shaft {i}" if i else CRANKSHAFT) for i in range(12)
    )
    found = [
        r.value.value for r in speed_ratios(Machine("long", WALK_BEHIND, Engine(), couplings), of="shaft 12")
    ]
    assert len(found) <= 4
    assert max(found) == pytest.approx(0.6**12)
    assert min(found) == pytest.approx((2.75 / 4.75) ** 12)


def test_slip_adds_up_along_the_way_and_shared_belts_do_not_count():
    # By hand: 1 - 0.98^2 = 0.0396.
    machine = Machine("chain", WALK_BEHIND, Engine(), (a_belt("a", 3, 5), a_belt("b", 3, 5, driver="a")))
    assert slip(machine, of="b")[0] == pytest.approx(0.0396)
    assert slip(machine, of="b", per="a") == (pytest.approx(0.02), 0.0)
    assert may_slip(machine, of=CRANKSHAFT, per="b") == ()


def test_a_belt_of_unstated_slip_is_named():
    belt = Coupling(CRANKSHAFT, "a", (Ratio("as counted", Measured(0.9)),), kind="belt")
    machine = Machine("one", WALK_BEHIND, Engine(), (belt,))
    assert may_slip(machine, of=CRANKSHAFT, per="a") == ("a",)
    assert may_slip(machine, of="a") == ()


def test_turning_senses_multiply():
    gears = tuple(
        Coupling(CRANKSHAFT if i == 0 else f"s{i - 1}", f"s{i}", (Ratio("", Measured(1)),), sense=-1)
        for i in range(3)
    )
    machine = Machine("gears", WALK_BEHIND, Engine(), gears)
    assert [sense(machine, f"s{i}") for i in range(3)] == [-1, 1, -1]
