import pytest

from snath.decisions.machine.parts import Coupling, Engine, Machine, Member, Ratio
from snath.decisions.reading.heard_at import heard_at, heard_ratio, track_at
from snath.decisions.reading.reading import Reading
from snath.formulas.signals.candidates import Candidate, Track
from snath.formulas.signals.sound_result import SoundResult
from snath.quantities.measured import Line, Measured
from tests.told import refused

MACHINE = Machine("m", "ride-on rotary mower", Engine(), members=(Member("blade", "spindle", "blade"),))
READING = Reading(
    method="sound",
    value=Measured(50.0, (Line("a", 0.1),)),
    decided=True,
    candidates=(Candidate(50.0, 0.1, 1.0),),
)


def heard(ratio):
    return SoundResult(
        Track("crankshaft", (), (), ()), READING.value, READING.candidates, True, driven_ratio=ratio
    )


def test_a_heard_ratio_carries_the_speed_to_the_blade():
    # By hand: 50 rev/s times 0.9; u: 0.1 * 0.9 = 0.09 and 0.002 * 50 = 0.1, together 0.1345.
    ratio = heard_ratio(heard(Measured(0.9, (Line("b", 0.002),))), MACHINE, "spindle")
    moved = heard_at(READING, ratio, "spindle")
    assert moved.shaft == "spindle"
    assert moved.value.value == pytest.approx(45.0)
    assert moved.value.u == pytest.approx(0.13454, abs=1e-5)
    assert moved.candidates[0].rev_s == pytest.approx(45.0)
    track = track_at(Track("crankshaft", (0.0,), (50.0,), (0.1,)), ratio, "spindle")
    assert (track.shaft, track.rev_s, track.u) == ("spindle", (45.0,), pytest.approx((0.09,)))


def test_a_shaft_bolted_to_the_crankshaft_turns_with_it():
    bolted = Coupling("crankshaft", "spindle", (Ratio("direct", Measured(1.0)),))
    machine = Machine("m", "walk-behind rotary mower", Engine(), couplings=(bolted,))
    assert heard_ratio(heard(None), machine, "spindle") == Measured(1.0)


def test_the_crankshaft_stays_as_it_is():
    assert heard_ratio(heard(None), None, "crankshaft") == Measured(1.0)
    assert heard_at(READING, Measured(1.0), "crankshaft") is READING


@pytest.mark.parametrize(("machine", "shaft"), [(MACHINE, "spindle"), (None, "spindle"), (MACHINE, "pump")])
def test_a_shaft_that_was_not_heard_is_refused(machine, shaft):
    with refused("must be the crankshaft"):
        heard_ratio(heard(None), machine, shaft)
