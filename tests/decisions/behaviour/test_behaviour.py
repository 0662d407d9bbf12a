"""What was asked stays answerable when the machine, its window or its readings change afterwards."""

from dataclasses import replace

import pytest

from snath.decisions.behaviour.asked import GovernorInput, StopInput
from snath.decisions.behaviour.behaviour import NO_TARGET, PAST_CEILING
from snath.decisions.behaviour.setting_input import SettingInput, SettingPoint
from snath.decisions.behaviour.thrown import Thing, ThrowInput
from snath.decisions.job.assemble import job_for
from snath.decisions.job.job import Stage
from snath.decisions.job.work import work
from snath.decisions.machine.parts import Engine, MakerFigure, Member, Size
from snath.decisions.machine.parts import Machine as Sheet
from snath.decisions.reading.instruments import Instrument
from snath.decisions.reading.typed import typed_reading
from snath.formulas.signals.candidates import Event, Track
from snath.quantities.measured import exact
from snath.quantities.message import Message
from snath.rules.load import shipped_rules
from tests.machines import CHECKED

INCH = 0.0254
TACHOMETER = Instrument("T1", "tachometer", "optical", 0.0005, 1 / 60, 1 / 60, 1, "2026-03-01", "2027-03-01")
TRIED = SettingInput(
    "turns", (SettingPoint(0, exact(55.0)),), target=51.7, set_low=50, set_high=53, ceiling=57.6
)
STONE = ThrowInput((), (Thing("stone", 0.02, 2600),))


def machine(figure=3100.0, sizes=(21.0,)):
    """By hand: 19,000 ft/min on a 21 in circle is 3,455.9 rpm of the crankshaft the blade sits on."""
    maker = MakerFigure(figure / 60, 100 / 60, "blades in air", "a manual") if figure else None
    blade = Member(
        "blade", "crankshaft", "blade", tuple(Size("as it is", exact(size * INCH)) for size in sizes)
    )
    return Sheet("mower", "walk-behind rotary mower", Engine(maker_no_load=maker), (), (blade,))


def worked(sheet, **asked):
    job = job_for(sheet, shipped_rules(), market="US")
    read = typed_reading([3100 / 60, 3101 / 60, 3099 / 60], instrument=TACHOMETER)
    return work(
        replace(
            job,
            judged_on="2026-06-01",
            instruments=(TACHOMETER,),
            as_left=Stage((read,)),
            behaviour=replace(CHECKED, **asked),
        )
    )


def falling(shaft):
    times = tuple(0.05 * n for n in range(100))
    speeds = tuple(max(0.0, 50 - 25 * max(0.0, t - 1)) for t in times)
    return Track(shaft, times, speeds, (0.05,) * 100, events=(Event(1.0, "release"),))


def test_where_the_maker_s_figure_does_not_fit_nothing_is_advised():
    # By hand: 3,700 - 100 rpm is over the ceiling of 3,455 rpm.
    found = worked(machine(figure=3700), setting=TRIED).behaviour.setting
    assert (found.advice, found.why) == ("no choice fits", NO_TARGET)


def test_a_band_that_came_to_lie_past_the_ceiling_gives_no_advice_and_no_refusal():
    # By hand: a 24 in blade has its ceiling at 3,023.9 rpm = 50.4 rev/s; the band kept on the job ends at 53.
    found = worked(machine(figure=0, sizes=(24.0,)), setting=TRIED).behaviour.setting
    assert (found.advice, found.why) == ("no choice fits", PAST_CEILING)


def test_advice_goes_to_the_window_s_target_whatever_was_kept():
    waiting = worked(machine(), setting=TRIED).behaviour.setting
    assert waiting.advice == "checks first"


def test_a_stop_tested_at_a_shaft_that_is_gone_is_undecided():
    given = StopInput(falling("spindle"), "spindle", "flywheel brake")
    found = worked(machine(), stop=given).behaviour.stop
    assert (found.word, found.evidence) == ("undecided", None)
    assert found.reasons[0] == Message("stop.shaft-gone", shaft="spindle")


def test_a_throw_takes_its_stages_from_what_was_left_and_what_is_allowed():
    # By hand: (3,100 / 3,455.9)^2 = 0.8046 of the energy at the limit.
    carried = worked(machine(), throw=STONE).behaviour.throw.carried
    left, limit = (
        {one.stage: one.energy_low for one in carried}[stage] for stage in ("as left", "at the limit")
    )
    assert left / limit == pytest.approx(0.8046, abs=0.0005)


def test_without_any_tip_speed_there_is_nothing_to_compare():
    bare = Sheet("pump set", "pressure washer", Engine(), (), ())
    assert (
        work(replace(job_for(bare, shipped_rules()), behaviour=replace(CHECKED, throw=STONE))).behaviour.throw
        is None
    )


def test_a_hunting_governor_as_left_takes_its_pass_away():
    times = tuple(0.05 * n for n in range(400))
    swing = tuple(51.7 + (1 if int(t / 0.4) % 2 else -1) for t in times)
    given = GovernorInput(track=Track("crankshaft", times, swing, (0.05,) * 400))
    assert worked(machine()).as_left.stands.word == "pass"
    assert worked(machine(), governor_left=given).as_left.stands.word != "pass"
