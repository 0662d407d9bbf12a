"""Droop, steadiness and class figures: an alternator by hand, and the simulated engine as truth."""

from dataclasses import replace

import numpy as np
import pytest

from benchmarks.governed_engine import (
    GovernedEngine,
    critical_band,
    measured,
    ride,
    side_by_side,
    steady_speed,
)
from snath.decisions.behaviour.asked import Alternator, GovernorInput
from snath.decisions.behaviour.governor import HUNTS, INVERTER, judge_governor
from snath.formulas.signals.candidates import Event, Track
from snath.quantities.measured import Line, Measured, exact
from snath.rules.load import shipped_rules
from snath.words.render import ENGLISH, say
from tests.told import refused

RATED = 60.0  # rev/s
SET = Alternator(poles=2, rated_frequency=60.0)


def figure(result, rule):
    return next(met for met in result.figures if met.rule == rule)


def test_a_two_pole_alternator_at_62_5_hz_by_hand():
    # By hand: 3,750 rpm no-load, 3,600 rpm at its full 5 kW. Droop 150/3600 = 4.17 % on loaded, 4.00 % on
    # no-load; 62.5 and 60 Hz. Class figures of ISO 8528-5 (G2 read in a building specification, G1 and G3
    # from memory): 8, 5 and 3 %. So it meets G1's and G2's figure for droop and misses G3's.
    got = judge_governor(
        GovernorInput(
            no_load=exact(3750 / 60), loaded=exact(3600 / 60), load_w=5000, rated_w=5000, alternator=SET
        ),
        shipped_rules(),
    )
    assert got.droop_on_loaded.value * 100 == pytest.approx(4.1667, abs=5e-4)
    assert got.droop_on_no_load.value * 100 == pytest.approx(4.0, abs=1e-6)
    assert got.frequency == pytest.approx((62.5, 60.0))
    words = [figure(got, f"generator-droop-{row}").word for row in ("g1", "g2", "g3")]
    assert words == ["meets", "meets", "misses"]
    said = figure(got, "generator-droop-g2")
    assert say(said.why, ENGLISH) == "meets the G2 figure for droop at 5 kW"
    assert said.standing == "second-hand"
    assert not any("is class" in say(met.why, ENGLISH) for met in got.figures)
    assert "governor.small-sets" in [note.code for note in got.notes]


def test_without_full_load_a_droop_can_miss_a_figure_but_not_meet_it():
    # By hand: half load was put on; 6 % already is over 5 %, and 4 % may still become more.
    for no_load, expected in ((63.6, "misses"), (62.4, "cannot tell")):
        got = judge_governor(
            GovernorInput(
                no_load=exact(no_load), loaded=exact(60.0), load_w=2500, rated_w=5000, alternator=SET
            ),
            shipped_rules(),
        )
        met = figure(got, "generator-droop-g2")
        assert met.word == expected
        assert "at 2.5 kW" in say(met.why, ENGLISH)


def test_doubt_in_the_readings_makes_a_close_figure_undecided():
    # By hand: 4.9 % with u = 0.2 % of speed on each reading: u(droop) = 0.28 %, 4.9 +- 0.55 straddles 5 %.
    doubt = (Line("tachometer at no load", 0.12),), (Line("tachometer at load", 0.12),)
    got = judge_governor(
        GovernorInput(
            no_load=Measured(62.94, doubt[0]),
            loaded=Measured(60.0, doubt[1]),
            load_w=5000,
            rated_w=5000,
            alternator=SET,
        ),
        shipped_rules(),
    )
    assert got.droop_on_loaded.u == pytest.approx(0.0029, abs=0.0001)
    assert figure(got, "generator-droop-g2").word == "cannot tell"


def test_an_inverter_set_is_refused_class_figures_and_frequency():
    got = judge_governor(
        GovernorInput(
            no_load=exact(62.5),
            loaded=exact(60.0),
            load_w=2000,
            rated_w=2000,
            alternator=replace(SET, inverter=True),
        ),
        shipped_rules(),
    )
    assert got.figures == ()
    assert got.frequency is None
    assert INVERTER in got.notes


def stepped_tracks(generator, count, seconds=40):
    """Engines whose load comes on halfway: the engines, their loads and their tracks."""
    engines = []
    for _ in range(count):
        engine = GovernedEngine(
            run_up=generator.uniform(0.8, 2.0),
            lag=generator.uniform(0.03, 0.08),
            natural=generator.uniform(30, 60),
            setting=generator.uniform(1.02, 1.06),
        )
        engines.append(replace(engine, band=critical_band(engine) * generator.uniform(2.5, 5)))
    load = generator.uniform(0.3, 0.7, count)
    times, speed = ride(
        side_by_side(engines),
        seconds=seconds,
        loads=((0.0, 0.0), (seconds / 2, load)),
        start=[steady_speed(engine, 0.0) for engine in engines],
        roughness=0.01,
        generator=generator,
    )
    events = (Event(seconds / 2, "load on"),)
    tracks = [
        measured(times, one, rated=RATED, every=0.05, noise=0.002, generator=generator, events=events)
        for one in speed.T
    ]
    return engines, load, tracks


def test_droop_from_a_track_is_within_two_tenths_of_a_point():
    # Truth: the steady speeds of the simulated engines by root finding, no integration: another road.
    for engine, load, track in zip(*stepped_tracks(np.random.default_rng(41), 30), strict=True):
        top, under = steady_speed(engine, 0.0), steady_speed(engine, load)
        got = judge_governor(GovernorInput(track=track))
        assert got.droop_on_loaded.value == pytest.approx(top / under - 1, abs=0.002)
        assert got.droop_on_no_load.value == pytest.approx(1 - under / top, abs=0.002)
        assert got.hunts is False
        assert got.changes[0].kind == "load on"
        assert got.changes[0].deviation < 0


def test_a_track_with_load_on_and_off_gives_rise_dip_and_recovery_figures():
    # Property: each transient row is held against the change it speaks of, and recovery, held against a
    # band narrower than the standard's, may meet but is never said to miss.
    generator = np.random.default_rng(42)
    engine = GovernedEngine(run_up=1.2, setting=1.04)
    engine = replace(engine, band=critical_band(engine) * 3)
    times, speed = ride(
        engine,
        seconds=45,
        loads=((0, 0.0), (15, 0.6), (30, 0.0)),
        start=steady_speed(engine, 0.0),
        roughness=0.005,
        generator=generator,
    )
    track = measured(
        times,
        speed[:, 0],
        rated=RATED,
        every=0.05,
        noise=0.001,
        generator=generator,
        events=(Event(15.0, "load on"), Event(30.0, "load off")),
    )
    got = judge_governor(
        GovernorInput(track=track, load_w=5000, rated_w=5000, alternator=SET), shipped_rules()
    )
    assert [change.kind for change in got.changes] == ["load on", "load off"]
    on, off = figure(got, "generator-load-on-g1"), figure(got, "generator-load-off-g1")
    assert on.low == pytest.approx(abs(got.changes[0].deviation))
    assert off.low == pytest.approx(abs(got.changes[1].deviation))
    recoveries = [met for met in got.figures if "recovery" in met.rule]
    assert len(recoveries) == 6
    assert all(met.word in ("meets", "cannot tell") for met in recoveries)
    assert figure(got, "generator-recovery-g1").word == "meets"


def test_hunting_is_said_with_no_pass_and_raises_the_upper_edge():
    # Truth: 0.9 rev/s to each side at 1.4 Hz on 56 rev/s.
    generator = np.random.default_rng(43)
    t = np.arange(0, 20, 0.05)
    speed = 56 + 0.9 * np.sin(2 * np.pi * 1.4 * t) + 0.1 * generator.standard_normal(t.size)
    got = judge_governor(GovernorInput(track=Track("crankshaft", tuple(t), tuple(speed), (0.1,) * t.size)))
    assert got.hunts is True
    assert HUNTS in got.notes
    assert got.steady[0].hunting.rate == pytest.approx(1.4, rel=0.02)
    assert got.upper_edge == pytest.approx(56.9, abs=0.1)


def test_a_governor_without_droop_read_twice_is_not_called_swapped():
    # Property: two readings of one speed differ by their own doubt.
    doubt = (Line("a", 0.05),), (Line("b", 0.05),)
    got = judge_governor(GovernorInput(no_load=Measured(60.0, doubt[0]), loaded=Measured(60.05, doubt[1])))
    assert got.droop_on_loaded.value == 0.0
    assert got.droop_on_loaded.u > 0


def test_loaded_above_no_load_is_refused():
    with refused("were the two swapped"):
        judge_governor(GovernorInput(no_load=exact(56.0), loaded=exact(57.0)))


def test_nothing_and_too_little_are_refused_by_name():
    with refused("governor = nothing: needs a no-load and a loaded speed"):
        judge_governor(GovernorInput())
    t = tuple(np.arange(0, 4, 0.05))
    with refused(r"track = 3\.95 s: too short"):
        judge_governor(GovernorInput(track=Track("crankshaft", t, (56.0,) * len(t), (0.1,) * len(t))))


def test_marks_off_the_track_or_twice_in_a_row_are_refused():
    t = tuple(np.arange(0, 20, 0.05))
    track = Track("crankshaft", t, (56.0,) * len(t), (0.1,) * len(t))
    with refused("load on = 25 s: must lie on the track"):
        judge_governor(GovernorInput(track=replace(track, events=(Event(25.0, "load on"),))))
    twice = (Event(5.0, "load on"), Event(9.0, "load on"))
    with refused("comes twice in a row"):
        judge_governor(GovernorInput(track=replace(track, events=twice)))


def test_what_is_missing_is_asked_for():
    got = judge_governor(GovernorInput(no_load=exact(56.0)))
    assert got.droop_on_loaded is None
    assert got.hunts is None
    assert len(got.next_steps) == 2
