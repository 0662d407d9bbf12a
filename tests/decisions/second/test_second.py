"""Random sheets against the second implementation: window, band, and the verdict at 40 speeds."""

from dataclasses import dataclass, field

import numpy as np
import pytest

from snath.decisions.job.assemble import job_for
from snath.decisions.job.work import work
from snath.decisions.machine.sheet import read_sheet
from snath.decisions.reading.instruments import Instrument
from snath.decisions.verdict.band import Bench, Way, band
from snath.decisions.verdict.decide import judge
from snath.decisions.verdict.pools import Tools
from snath.decisions.window.limits import limits_of
from snath.quantities.errors import InputError, InputErrors
from snath.rules.load import shipped_rules
from tests.decisions.second import drawn, plain

RPM = 1 / 60
SPEEDS = 40
SHEETS = 60
AT_AN_EDGE = 0.02  # rpm; nearer than that two roads may part by their rounding
PLATE = Instrument("plate", "plate", "other", accuracy=0.001, resolution=RPM, due_on="2099-01-01")
OPTICAL = Instrument("optical", "optical", "optical")


@dataclass
class Tally:
    """What was compared, and where the two part."""

    sheets: int = 0
    refused: int = 0
    verdicts: int = 0
    bands: int = 0
    words: dict[str, int] = field(default_factory=dict)
    parted: list[str] = field(default_factory=list)


def way_of(read: plain.Read) -> Way:
    tool = PLATE if read.plate is not None else OPTICAL if read.kind == "optical" else None
    return Way(read.shaft, read.condition, tool, None if read.u is None else read.u * RPM)


def compare(seed: int, count: int) -> Tally:
    """So many sheets, each by both."""
    rng, tally = np.random.default_rng(seed), Tally()
    while tally.sheets < count:
        text, machine = drawn.drawn(rng)
        read = drawn.read_of(rng, machine)
        speeds = rng.uniform(0.4, 1.25, SPEEDS)
        try:
            ours = read_sheet(text)
        except (InputError, InputErrors):
            tally.refused += 1  # such as a floor behind a belt of unstated slip
            continue
        tally.sheets += 1
        job = job_for(ours, shipped_rules())
        found = work(job).window
        top, bottom, binding = plain.window(machine)
        for name, one, other in (("ceiling", found.ceiling, top), ("floor", found.floor, bottom)):
            if (one is None) != (other is None) or (
                one is not None and abs(one / RPM - other) > 1e-6 * other
            ):
                tally.parted.append(f"{name}: {one and one / RPM} {other}\n{text}")
        if found.ceiling is not None and found.binding not in binding:
            tally.parted.append(f"binding: {found.binding} {binding}\n{text}")
        limits = limits_of(ours, job.rules, market="")
        bench = Bench(ours, limits, job.decision, Tools((PLATE, OPTICAL), "2026-01-01"))
        way = way_of(read)
        near = (top or 3500.0) * _ratio(machine, read.shaft)
        for speed in speeds * near:
            verdict = judge(
                ours, limits, [way.reading(float(speed) * RPM)], tools=bench.tools, decision=job.decision
            ).word
            second = plain.judge(machine, read, float(speed))
            tally.verdicts += 1
            tally.words[verdict] = tally.words.get(verdict, 0) + 1
            near_by = {plain.judge(machine, read, float(speed) + d) for d in (-AT_AN_EDGE, AT_AN_EDGE)}
            if verdict != second and verdict not in near_by:
                tally.parted.append(f"{verdict} {second} at {speed} {read}\n{text}")
        _bands(tally, bench, way, machine, read, text)
    return tally


def _ratio(machine: plain.Machine, shaft: str) -> float:
    down, _ = plain.way_between(machine, shaft, plain.CRANK)
    return float(np.prod([joint.ratios[0].value for joint in down]))


def _bands(tally: Tally, bench: Bench, way: Way, machine: plain.Machine, read: plain.Read, text: str) -> None:
    found, second = band(bench, way), plain.band(machine, read)
    if found is None or second is None:
        if second is not None:
            tally.parted.append(f"no band where {second} passes, {read}\n{text}")
        elif found is not None and plain.judge(machine, read, found.high / RPM - 1e-4) != "pass":
            tally.parted.append(f"band {found} where nothing passes, {read}\n{text}")
        return
    tally.bands += 1
    low = None if found.low is None else found.low / RPM
    if abs(found.high / RPM - second[1]) > AT_AN_EDGE and second[1] < 7900:
        tally.parted.append(f"band to {found.high / RPM} {second[1]} {read}\n{text}")
    if low is not None and second[0] > 250 and abs(low - second[0]) > AT_AN_EDGE:
        tally.parted.append(f"band from {low} {second[0]} {read}\n{text}")


@pytest.mark.parametrize("part", range(4))
def test_window_band_and_verdicts_are_those_of_the_second_implementation(part):
    # Another road: see plain.py. `python -m benchmarks second` compares 2,000 sheets.
    tally = compare(part, SHEETS // 4)
    assert tally.parted == []
    assert {"pass", "fail", "undecided"} == set(tally.words), "sheets that say all three"
    assert tally.bands > SHEETS // 16
    assert tally.refused < SHEETS // 4


NOT_LOOKED = """
name = "drawn"
kind = "ride-on rotary mower"
[engine]
strokes = 4
cylinders = 1
clutch = "none"
rated_max = "3100 rpm"
[engine.maker_no_load]
condition = "blades in air"
source = "drawn"
at_most = "3050 rpm"
[[coupling]]
driver = "crankshaft"
driven = "one"
slip_max = "3 %"
[coupling.belt]
section = "A"
driver_outside = "3.75 in"
driver_rides = "not looked"
driven_outside = "3.50 in"
driven_rides = "not looked"
[[member]]
name = "pump"
shaft = "one"
[member.pump]
speed_max = "3350 rpm"
"""


def test_a_lesser_ratio_that_is_less_well_known_binds_before_a_greater_one():
    # Another road: plain.py holds the reading against each of the belt's ratios with its own doubt. By outside
    # diameter the ceiling lies 0.9 rpm lower at the spindle than by datum diameter, by which it is known worse.
    ends = [plain.length(size, f"one {end}", None) for end, size in (("driver", 3.75), ("driven", 3.5))]
    rides = [plain.Figure(0.0), plain.Figure(plain.WORN)]
    joint = plain.Joint(plain.CRANK, "one", plain.belt("A", *ends, (rides, rides)), 0.03)
    limits = [
        plain.Limit(name, shaft, "ceiling", [(plain.Figure(top), 0.0)], False, True, False)
        for name, shaft, top in (
            ("engine", plain.CRANK, 3100.0),
            ("machine", plain.CRANK, 3050.0),
            ("pump", "one", 3350.0),
        )
    ]
    machine, read = (
        plain.Machine({"clutch": "none"}, [joint], limits, False),
        plain.Read("one", "blades in air"),
    )
    ours = read_sheet(NOT_LOOKED)
    job = job_for(ours, shipped_rules())
    bench = Bench(
        ours, limits_of(ours, job.rules, market=""), job.decision, Tools((PLATE, OPTICAL), "2026-01-01")
    )
    words = [
        (bench.passes((way_of(read), at * RPM)), plain.judge(machine, read, at) == "pass")
        for at in (2727.0, 2728.4, 2728.6, 2730.0, 2732.0)
    ]
    assert words == [(True, True), (True, True), (False, False), (False, False), (False, False)]
