"""A pulley that several belts run on is one piece of iron, measured once; only the sheet can say so."""

import math

import pytest

from snath.decisions.machine.couplings import BY_OUTSIDE
from snath.decisions.machine.drivetrain import speed_ratios
from snath.decisions.machine.sheet import read_sheet
from snath.quantities.errors import InputErrors
from snath.quantities.message import Message
from tests.told import told

INCH = 0.0254
HEAD = 'name = "deck"\nkind = "ride-on rotary mower"\n[engine]\nclutch = "none"\nrated_max = "3,600 rpm"\n'
ENGINE = 'driver_pulley = "engine pulley"'
SIX = 'driver_outside = "6 in ± 1/32 in"'


def belt(driven, *entries, section="A", driver="crankshaft", outside="5 in ± 1/32 in"):
    table = [f'driven = "{driven}"', f'driver = "{driver}"', "[coupling.belt]", f'section = "{section}"']
    table += ['driver_rides = "flush"', 'driven_rides = "flush"']
    return "\n".join(["[[coupling]]", *table, *entries, f'driven_outside = "{outside}"', ""])


def machine(*belts):
    return read_sheet(HEAD + "\n".join(belts))


def by_outside(found):
    return next(ratio.value for ratio in found if ratio.name == BY_OUTSIDE)


def two_spindles(first, second):
    return machine(belt("left", *first), belt("right", *second, outside="5 1/2 in ± 1/32 in"))


def test_a_pulley_named_at_two_belts_is_one_cause_and_cancels_between_their_spindles():
    deck = two_spindles((ENGINE, SIX), (ENGINE,))
    between = by_outside(speed_ratios(deck, of="left", per="right"))
    # By hand: (6/5)/(6/5.5) = 5.5/5; of the three measurements only the two driven ones are left, each
    # 1/32 in / sqrt 3 = 0.0180422 in: u = 1.1 x 0.0180422 x sqrt(0.04 + 0.0330579) = 0.0053643.
    tape = 1 / 32 / math.sqrt(3)
    assert between.value == pytest.approx(1.1, rel=1e-12)
    assert between.u == pytest.approx(1.1 * tape * math.hypot(1 / 5, 1 / 5.5), rel=1e-9)
    assert between.u == pytest.approx(0.0053643, abs=5e-8)
    assert {line.source for line in between.lines} == {
        Message("budget.as-measured", field="coupling[1].belt.driven_outside"),
        Message("budget.as-measured", field="coupling[2].belt.driven_outside"),
    }


def test_two_pulleys_with_equal_figures_stay_two_causes():
    deck = two_spindles((SIX,), (SIX,))
    between = by_outside(speed_ratios(deck, of="left", per="right"))
    # By hand: the two driver measurements add 2/6^2 = 0.0555556 under the root: u = 0.0071175.
    tape = 1 / 32 / math.sqrt(3)
    assert between.u == pytest.approx(1.1 * tape * math.sqrt(1 / 25 + 1 / 5.5**2 + 2 / 36), rel=1e-9)
    assert between.u == pytest.approx(0.0071175, abs=5e-8)


def test_to_the_crankshaft_a_named_pulley_is_as_doubtful_as_any():
    # Property: there is nothing to cancel against.
    named, unnamed = two_spindles((ENGINE, SIX), (ENGINE,)), two_spindles((SIX,), (SIX,))
    for shaft in ("left", "right"):
        pairs = zip(speed_ratios(named, of=shaft), speed_ratios(unnamed, of=shaft), strict=True)
        assert all((a.value.value, a.value.u) == (b.value.value, b.value.u) for a, b in pairs)


def test_the_diameter_and_the_part_number_may_stand_at_any_of_the_belts():
    deck = two_spindles((ENGINE,), (ENGINE, SIX, 'driver_part = "DK-1"'))
    for coupling in deck.couplings:
        driver = coupling.parts[0]
        assert (driver.size.value, driver.maker_part) == (pytest.approx(6 * INCH), "DK-1")
        assert (driver.pulley, coupling.parts[1].pulley) == ("engine pulley", "")
        assert [line.source for line in driver.size.lines] == [
            Message("budget.as-measured", field="coupling[2].belt.driver_outside")
        ]


def test_a_stamped_pulley_is_given_once_too():
    deck = two_spindles((ENGINE, 'driver_datum = "5 3/4 in"'), (ENGINE,))
    # By hand: 2hd = 0.250 in of an A groove (Machinery's Handbook 31, table 9, read): 6 in outside.
    assert [c.parts[0].size.value for c in deck.couplings] == pytest.approx([6 * INCH] * 2)


def test_a_jackshaft_pulley_may_be_driven_by_one_belt_and_drive_the_next():
    jack = machine(
        belt("jackshaft", SIX, 'driven_pulley = "jack"', outside="4 in ± 1/32 in"),
        belt("spindle", 'driver_pulley = "jack"', driver="jackshaft"),
    )
    # By hand: 6/4 x 4/5 = 6/5, and the jackshaft's pulley takes itself out with its doubt.
    through = by_outside(speed_ratios(jack, of="spindle"))
    assert through.value == pytest.approx(1.2, rel=1e-12)
    assert through.u == pytest.approx(1.2 / 32 / math.sqrt(3) * math.hypot(1 / 6, 1 / 5), rel=1e-9)


@pytest.mark.parametrize(
    ("belts", "message"),
    [
        (
            (belt("left", ENGINE), belt("right", ENGINE)),
            "coupling[1].belt.driver_outside = nothing: give the diameter of engine pulley at one of the belts",
        ),
        (
            (belt("left", ENGINE, SIX), belt("right", ENGINE, driver="left")),
            "coupling[2].belt.driver_pulley = engine pulley: sits on crankshaft at coupling[1]",
        ),
        (
            (belt("left", ENGINE, SIX), belt("right", ENGINE, section="B")),
            "coupling[2].belt.driver_pulley = engine pulley: has another groove at coupling[1]",
        ),
        (
            (belt("left", ENGINE, SIX), belt("right", ENGINE, 'driver_outside = "6 in"')),
            "coupling[2].belt.driver_pulley = engine pulley: is 6 in ± 1/32 in at coupling[1]",
        ),
        (
            (
                belt("left", ENGINE),
                belt("middle", ENGINE, SIX),
                belt("right", ENGINE, 'driver_outside = "5 in"'),
            ),
            "coupling[3].belt.driver_pulley = engine pulley: is 6 in ± 1/32 in at coupling[2]",
        ),
    ],
)
def test_what_one_piece_of_iron_cannot_be_is_refused(belts, message):
    with pytest.raises(InputErrors) as caught:
        machine(*belts)
    (fault,) = caught.value.faults
    assert message in told(fault)


def test_the_same_diameter_written_twice_is_no_fault():
    deck = two_spindles((ENGINE, SIX), (ENGINE, 'driver_outside = "6.0 in ± 1/32 in"'))
    first, second = (c.parts[0].size for c in deck.couplings)
    assert first == second


def test_cogged_and_plain_belts_of_one_groove_may_share_a_pulley():
    deck = machine(belt("left", ENGINE, SIX), belt("right", ENGINE, section="AX"))
    assert len({c.parts[0].size for c in deck.couplings}) == 1
