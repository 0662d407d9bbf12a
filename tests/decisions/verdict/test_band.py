"""Every reading inside the band passes and none outside; what is asked for proves the machine."""

from dataclasses import replace

import numpy as np
import pytest

from snath.decisions.machine.parts import CRANKSHAFT, Engine, Machine, Member
from snath.decisions.reading.instruments import Instrument
from snath.decisions.verdict.advice import advised
from snath.decisions.verdict.band import Bench, Way, aimed, band
from snath.decisions.verdict.decide import judge
from snath.decisions.verdict.pools import Tools
from snath.decisions.verdict.take import ROUGHEST_FIRST, takes, ways_of
from snath.decisions.window.limits import limits_of
from snath.rules.load import shipped_rules
from tests.machines import RPM, blade, deck, direct, figure, inches

RULES = shipped_rules()
INSTRUMENTS = (
    None,
    Instrument("O", "optical", "optical"),
    Instrument("I", "inductive", "inductive"),
    Instrument("K", "checked", "optical", accuracy=0.001, resolution=RPM, due_on="2099-01-01"),
)


def bench(machine: Machine, decision: str = "one-sided 95 %") -> Bench:
    known = tuple(one for one in (*INSTRUMENTS, *(tool for tool, _ in ROUGHEST_FIRST)) if one is not None)
    return Bench(machine, limits_of(machine, RULES, market=""), decision, Tools(known, "2026-01-01"))


def drawn(rng: np.random.Generator) -> Machine:
    """A machine of any of our kinds, with or without the maker's figure, floors and a clutch."""
    size = inches(float(rng.uniform(16, 24)), float(rng.choice([0.0, 1 / 32, 1 / 16])), "tape")
    engine: dict[str, object] = {"rated_max": float(rng.uniform(3000, 4000)) * RPM}
    if rng.random() < 0.5:
        engine["maker_no_load"] = figure(
            float(rng.uniform(2600, 3700)),
            float(rng.choice([25, 50, 100])),
            str(rng.choice(["blades off", "blades in air"])),
        )
    if rng.random() < 0.3:
        engine["rated_min"] = float(rng.uniform(2000, 3000)) * RPM
    if rng.random() < 0.3:
        engine["droop"] = float(rng.uniform(0.02, 0.1))
    if rng.random() < 0.5:
        return direct(size, **engine)
    driver, driven = float(rng.uniform(3, 6)), float(rng.uniform(4, 6))
    return deck(
        {"spindle": (float(rng.uniform(16, 30)), driver, driven)}, clutch=bool(rng.random() < 0.5), **engine
    )


@pytest.mark.parametrize("seed", range(20))
def test_every_reading_inside_passes_and_none_outside(seed):
    # Property, on 50 random machines each: ends, places between, and places just and far outside.
    rng = np.random.default_rng(seed)
    found_some = 0
    for _ in range(50):
        machine = drawn(rng)
        shaft = str(rng.choice(machine.shafts))
        off = machine.engine.clutch and shaft == CRANKSHAFT and rng.random() < 0.5
        stated = float(rng.uniform(1, 20)) * RPM if rng.random() < 0.4 else None
        way = Way(
            shaft,
            "blades off" if off else "blades in air",
            INSTRUMENTS[rng.integers(len(INSTRUMENTS))],
            stated,
        )
        held = bench(machine)
        found = band(held, way)
        if found is None:
            for speed in rng.uniform(1000, 4500, 5) * RPM:
                assert not held.passes((way, float(speed)))
            continue
        found_some += 1
        low = found.low if found.low is not None else found.high / 3
        for speed in (low, found.high, *rng.uniform(low, found.high, 5)):
            assert held.passes((way, float(speed))), (machine, way, speed * 60)
        outside = [found.high + 0.01 * RPM, *rng.uniform(found.high + 0.01 * RPM, 2 * found.high, 3)]
        if found.low is not None:
            outside += [found.low - 0.01 * RPM, *rng.uniform(0.3 * found.low, found.low - 0.01 * RPM, 3)]
        for speed in outside:
            assert not held.passes((way, float(speed))), (machine, way, speed * 60)
    assert found_some > 5


def test_what_to_aim_for_is_the_makers_figure_then_the_nearest_then_the_shops_own():
    # By hand: 21 in allows 3,455.9; u = 10 rpm leaves 3,439.5; the maker's 3,100 +- 50 lies inside, 3,500 +- 100 does
    # not: its band ends at 3,439.5, less a step of 10 rpm.
    way = Way(stated_u=10 * RPM)
    inside = direct(inches(21), maker_no_load=figure(3100, 50))
    found = aimed(band(bench(inside), way), inside, step=10 * RPM)
    assert (found.target_from, found.target) == ("maker", pytest.approx(3100 * RPM))
    assert (found.low, found.high) == (pytest.approx(3050 * RPM), pytest.approx(3150 * RPM))
    over = direct(inches(21), maker_no_load=figure(3500, 100))
    found = aimed(band(bench(over), way), over, step=10 * RPM)
    assert found.target == pytest.approx((3439.5 - 10) * RPM, abs=0.1 * RPM)
    plain = direct(inches(21))
    found = band(bench(plain), way)
    assert aimed(found, plain, step=10 * RPM).target is None
    assert aimed(found, plain, step=10 * RPM, aim=50.0).target_from == "shop"
    assert aimed(found, plain, step=10 * RPM, aim=58.0).target is None


def take(machine: Machine, **more: object):
    held = bench(machine)
    return takes(held, ways_of(held, **more))


def test_one_reading_in_air_is_asked_for_where_it_settles_all():
    # By hand: droop 10 %: 3,600 / 1.1 = 3,272.7 in air clears the engine, and 21 in at 5 to 5.5 in more.
    machine = deck({"spindle": (21, 5, 5.5)}, rated_max=3600 * RPM, clutch=True)
    (one,) = take(machine, stated_u=5 * RPM)
    assert (one.band.way.shaft, one.band.way.condition) == (CRANKSHAFT, "blades in air")
    assert one.band.high == pytest.approx((3272.7 - 1.645 * 5) * RPM, abs=0.1 * RPM)


def test_conventions_that_straddle_are_settled_at_the_spindle():
    # By hand: at the crankshaft 3 on 5 in leaves a 30 in blade 4,031; the engine may run 4,200 and the maker wants
    # 4,150, so the blade's own shaft is read besides.
    machine = deck({"spindle": (30, 3, 5)}, rated_max=4200 * RPM, maker_no_load=figure(4150, 40))
    found = take(machine, stated_u=2 * RPM)
    assert {one.band.way.shaft for one in found} == {CRANKSHAFT, "spindle"}
    held = bench(machine)
    middles = [(one.band.way, ((one.band.low or 0.9 * one.band.high) + one.band.high) / 2) for one in found]
    assert held.passes(*middles)


def test_an_ungoverned_engine_with_a_hand_clutch_needs_both_and_nobody_else_does():
    # By hand: a pump on the crankshaft of 3,400 and an engine of 4,200: without a governor air bounds nothing.
    machine = deck({"spindle": (21, 5, 5.5)}, rated_max=3600 * RPM, clutch=True)
    wild = replace(machine, engine=replace(machine.engine, governor="none"))
    (off,) = take(wild, stated_u=5 * RPM)
    assert off.band.way.condition == "blades off"
    in_air = figure(3300, 50, "blades in air")
    both = take(replace(wild, engine=replace(wild.engine, maker_no_load=in_air)), stated_u=5 * RPM)
    assert {one.band.way.condition for one in both} == {"blades off", "blades in air"}


def test_what_cannot_be_proved_asks_for_nothing():
    tiller = Machine("tiller", "tiller", Engine(rated_max=60.0), (), (blade(inches(30)),))
    assert take(tiller) == ()
    pump = Member("pump", CRANKSHAFT, "pump", speed_min=3500 * RPM, speed_max=3510 * RPM)
    assert take(Machine("washer", "pressure washer", Engine(rated_max=60.0), (), (pump,))) != ()


@pytest.mark.parametrize("read", [2980, 3500, 3600], ids=["too slow", "too near", "too fast"])
def test_where_to_set_it_is_where_it_also_does_its_work(read):
    # By hand: a pump that needs 3,000 rpm loaded behind a droop of 6 % of that needs 3,180 without load; u of 5 rpm
    # takes 1.6449 x 5 = 8.2 at each end, the ceiling is 3,500. What passes as to its limits alone begins lower.
    pump = Member("pump", CRANKSHAFT, "pump", speed_min=3000 * RPM, speed_max=3500 * RPM)
    machine = Machine("washer", "pressure washer", Engine(strokes=4, cylinders=1, droop=0.06), (), (pump,))
    judged = replace(bench(machine), decision="one-sided 95 %")
    way = Way(stated_u=5 * RPM)
    found = advised(
        judge(
            machine, judged.limits, (way.reading(read * RPM),), tools=judged.tools, decision=judged.decision
        ),
        judged,
        (way.reading(read * RPM),),
        step=10 * RPM,
        aim=None,
        aim_reason="",
    )
    low, high = found.set_between
    assert (low / RPM, high / RPM) == pytest.approx((3180 + 8.2, 3500 - 8.2), abs=0.1)
    assert band(judged, way).low < 3180 * RPM
