"""A coupling is only its ratios, however it was measured."""

import math
from dataclasses import replace

import numpy as np
import pytest

from snath.decisions.machine.couplings import (
    BY_DATUM,
    BY_OUTSIDE,
    belt_coupling,
    counted_ratio,
    datum_diameter,
    direct_coupling,
    sheave,
    toothed_coupling,
    variable_coupling,
)
from snath.decisions.machine.exchange import with_part, with_ratio
from snath.quantities.measured import Line, Measured, exact
from tests.told import refused

INCH = 0.0254


def belt(driver_in, driven_in, *, section="A", half_width=0.0, **more):
    def end(role, size):
        u = half_width * INCH / math.sqrt(3)
        lines = (Line(f"{role} as measured", u, None, "rectangular"),) if u else ()
        return sheave(role, section=section, outside=Measured(size * INCH, lines))

    return belt_coupling(
        "crankshaft",
        "spindle",
        driver_sheave=end("driver sheave", driver_in),
        driven_sheave=end("driven sheave", driven_in),
        **more,
    )


def test_a_belt_has_two_ratios_and_both_sheaves_of_one_share_a_convention():
    by_outside, by_datum = belt(3, 4).alternatives
    # By hand: 3/4, and with 2hd = 0.250 in of an A groove (Machinery's Handbook 31, table 9, read) 2.75/3.75.
    assert (by_outside.name, by_outside.value.value) == (BY_OUTSIDE, pytest.approx(0.75, rel=1e-12))
    assert (by_datum.name, by_datum.value.value) == (BY_DATUM, pytest.approx(2.75 / 3.75, rel=1e-12))


def test_the_dangerous_convention_flips_between_speeding_up_and_slowing_down():
    # Property, by hand: (D - o)/(d - o) > D/d exactly when D > d.
    up, down = belt(4, 3).alternatives, belt(3, 4).alternatives
    assert up[1].value.value > up[0].value.value
    assert down[1].value.value < down[0].value.value


def test_a_stamped_datum_diameter_is_the_outside_less_the_offset():
    part = sheave("driver sheave", section="B", datum=exact(5.4 * INCH))
    assert part.size.value == pytest.approx(5.75 * INCH)  # by hand: 5.4 + 0.350, same table
    assert datum_diameter(part).value == pytest.approx(5.4 * INCH)


def test_the_uncertainty_of_a_belt_ratio_agrees_with_a_simulation():
    ratio = belt(3, 4, half_width=1 / 32).alternatives[1].value
    # Another road: draw both diameters from their rectangles.
    rng = np.random.default_rng(5)
    draws = rng.uniform(-1 / 32, 1 / 32, (2, 200_000))
    simulated = (2.75 + draws[0]) / (3.75 + draws[1])
    assert ratio.u == pytest.approx(simulated.std(), rel=0.01)


def test_a_section_without_a_page_is_refused_and_told_to_count():
    with refused("count the ratio by turning the pulleys"):
        sheave("driver sheave", section="4L", outside=exact(3 * INCH))
    own = sheave("driver sheave", section="4L", outside=exact(3 * INCH), offset=0.005)
    assert own.datum_offset == 0.005


@pytest.mark.parametrize("sizes", [{}, {"outside": exact(0.1), "datum": exact(0.09)}])
def test_a_sheave_has_one_diameter(sizes):
    with refused("one of them"):
        sheave("driver sheave", section="A", **sizes)


def test_a_sheave_smaller_than_its_own_groove_is_refused():
    with refused("driving pulley"):
        sheave("driver sheave", section="D", outside=exact(0.7 * INCH))


def test_teeth_give_an_exact_ratio_and_cannot_slip():
    gear = toothed_coupling("crankshaft", "head", driver_teeth=15, driven_teeth=21, kind="gear", sense=-1)
    (ratio,) = gear.alternatives
    assert ratio.value == exact(15 / 21)
    assert (gear.slip_max, gear.sense, [part.role for part in gear.parts]) == (
        0.0,
        -1,
        ["driver gear", "driven gear"],
    )
    assert direct_coupling("crankshaft", "rotor").alternatives[0].value == exact(1.0)


def test_ten_turns_to_a_quarter_turn_are_two_and_a_half_percent():
    # Common practice, no source: "ten turns to a quarter turn are 2 to 3.5 %". By hand: 0.25/10 as a half width.
    ratio = counted_ratio(turns_in=10, turns_out=10, resolution=0.25, field="coupling[1]")
    assert ratio.u * math.sqrt(3) / ratio.value == pytest.approx(0.025)


def test_a_variable_drive_keeps_both_its_ends():
    drive = variable_coupling("crankshaft", "jack", least=0.5, most=2.0)
    assert [ratio.value.value for ratio in drive.alternatives] == [0.5, 2.0]


def test_another_sheave_makes_the_ratios_anew():
    changed = with_part(
        belt(3, 4, slip_max=0.02), 0, sheave("driver sheave", section="A", outside=exact(3.2 * INCH))
    )
    assert [ratio.value.value for ratio in changed.alternatives] == pytest.approx(
        [0.8, 2.95 / 3.75]
    )  # by hand
    assert (changed.slip_max, changed.kind) == (0.02, "belt")


def test_another_gear_makes_the_ratio_anew():
    gear = toothed_coupling("a", "b", driver_teeth=15, driven_teeth=21, kind="gear", sense=-1)
    changed = with_part(gear, 1, replace(gear.parts[1], size=exact(30.0)))
    assert changed.alternatives[0].value.value == 0.5  # by hand
    assert changed.sense == -1


def test_a_sheave_that_has_shrunk_into_its_groove_is_refused():
    small = replace(sheave("driver sheave", section="A", outside=exact(3 * INCH)), size=exact(0.2 * INCH))
    with refused("driving pulley"):
        with_part(belt(3, 4), 0, small)


def test_a_ratio_may_be_scaled_by_its_fastest_way_to_see_it():
    slow = with_ratio(belt(4, 3), 1.0)
    assert max(ratio.value.value for ratio in slow.alternatives) == pytest.approx(1.0)
    before = belt(4, 3).alternatives
    assert slow.alternatives[0].value.value / slow.alternatives[1].value.value == pytest.approx(
        before[0].value.value / before[1].value.value
    )
