"""Is the stated doubt true: do intervals cover what they claim, and is a pass at the limit as rare as promised?

Every scenario draws a true machine, lets an honest instrument read it, hands the program only what a mechanic would
know, and counts. Fixed seeds, and one fresh seed printed on failure.
"""

import math
import secrets
from dataclasses import dataclass, replace

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.stats import binom, norm, t

from snath.decisions.job.job import Stage
from snath.decisions.job.work import work
from snath.decisions.machine.parts import Size
from snath.decisions.reading.instruments import Instrument
from snath.decisions.reading.sample import sample
from snath.decisions.reading.typed import typed_reading
from snath.decisions.verdict.decide import judge
from snath.decisions.verdict.pools import Tools
from snath.decisions.window.limits import at_surface_speed, limits_of
from snath.quantities.measured import Line, Measured, combine
from tests.machines import INCH, RPM, direct, job

LIMIT = 96.52  # m/s, 19,000 ft/min
TRIALS = 4000
SEEDS = {"a fixed seed": 11, "a fresh seed": secrets.randbelow(2**31)}
MORE = 5  # as many trials again, by which an alarm of a fresh seed is tried: one is drawn at every run


@dataclass(frozen=True)
class Scene:
    """True blade, how it was taped (half width, rectangular), and how the tachometer scatters and errs."""

    name: str
    tape: float  # inches, half width
    accuracy: float  # fraction, half width
    scatter: float  # rpm, standard deviation of one reading
    repeats: int


NORMAL = Scene("scatter of twenty readings", 0.0, 1e-5, 12.0, 20)  # of no known accuracy none would ever pass
FEW = Scene("scatter of three readings", 0.0, 1e-5, 6.0, 3)
MIXED = Scene("tape, plate and scatter", 1 / 32, 0.0005, 5.0, 5)
TAPED = Scene("tape alone matters", 1 / 16, 0.0002, 0.5, 3)
PLATED = Scene("plate alone matters", 0.0, 0.005, 0.5, 3)


def seen(scene: Scene, true_speed: float, rng: np.random.Generator):
    """What the mechanic has: a taped blade and a reading, of a 21 in blade turning at `true_speed` rev/s."""
    taped = 21 * INCH + rng.uniform(-scene.tape, scene.tape) * INCH
    lines = (Line("tape", scene.tape * INCH / math.sqrt(3), None, "rectangular"),) if scene.tape else ()
    plate = true_speed * (1 + rng.uniform(-scene.accuracy, scene.accuracy))
    instrument = Instrument("T1", "tachometer", accuracy=scene.accuracy, due_on="2099-01-01")
    values = plate + rng.normal(0, scene.scatter * RPM, scene.repeats)
    return (
        Measured(taped, lines),
        typed_reading([float(v) for v in values], instrument=instrument),
        instrument,
    )


def margin(blade: Measured, speed: Measured) -> Measured:
    bound = at_surface_speed(LIMIT, Size("", blade))
    return combine(bound.value - speed.value, [(bound, 1.0), (speed, -1.0)])


def covered(scene: Scene, seed: int) -> int:
    rng = np.random.default_rng(seed)
    true_speed = 55.0
    truth = LIMIT / (math.pi * 21 * INCH) - true_speed
    hits = 0
    for _ in range(TRIALS):
        blade, reading, _ = seen(scene, true_speed, rng)
        found = margin(blade, reading.value)
        hits += abs(found.value - truth) <= t.ppf(0.975, found.dof) * found.u
    return hits


def passes_at_the_limit(scene: Scene, seed: int, *, share: float = 1.0, trials: int = TRIALS) -> int:
    rng = np.random.default_rng(seed)
    true_speed = share * LIMIT / (math.pi * 21 * INCH)
    base = job(direct(Measured(21 * INCH)))
    count = 0
    for _ in range(trials):
        blade, reading, instrument = seen(scene, true_speed, rng)
        machine = direct(blade)
        found = judge(
            machine,
            limits_of(machine, base.rules, market=""),
            [reading],
            tools=Tools((instrument,), "2026-01-01"),
            decision="one-sided 95 %",
        )
        count += found.word == "pass"
    return count


def one_sided_99_lower(successes: int, trials: int = TRIALS) -> float:
    """Clopper-Pearson lower bound, by bisection on the binomial tail."""
    low, high = 0.0, successes / trials
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if binom.sf(successes - 1, trials, middle) < 0.01 else (low, middle)
    return low


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("scene", [NORMAL, FEW, MIXED], ids=lambda scene: scene.name)
def test_normal_budgets_cover_94_to_96_per_cent(scene, seed):
    # Property: a 95 % interval covers 95 %; with 4,000 trials the binomial 3-sigma band is +-1.03 points, so a true
    # rate within 94 to 96 % shows itself within 92.97 to 97.03.
    rate = covered(scene, SEEDS[seed]) / TRIALS
    assert 0.94 - 0.0103 <= rate <= 0.96 + 0.0103, (scene.name, SEEDS[seed], rate)


@pytest.mark.parametrize("scene", [NORMAL, FEW, MIXED], ids=lambda scene: scene.name)
def test_over_five_fixed_seeds_normal_budgets_stay_inside_94_to_96(scene):
    rate = sum(covered(scene, seed) for seed in range(1, 6)) / (5 * TRIALS)
    assert 0.94 <= rate <= 0.96, (scene.name, rate)


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("scene", [TAPED, PLATED], ids=lambda scene: scene.name)
def test_where_a_rectangle_dominates_intervals_cover_at_least_94_5(scene, seed):
    rate = covered(scene, SEEDS[seed]) / TRIALS
    assert rate >= 0.945, (scene.name, SEEDS[seed], rate)


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("scene", [NORMAL, FEW, MIXED, TAPED, PLATED], ids=lambda scene: scene.name)
def test_at_the_limit_no_more_than_one_in_twenty_passes(scene, seed):
    # Property: with the truth on the limit a pass is false; the decision rule allows 5 %. It is far less here,
    # for these stop after a number of readings they settled on before: `benchmarks/looks.py` counts those who do not.
    # Two per cent under the limit a machine passes.
    passes = passes_at_the_limit(scene, SEEDS[seed])
    well_under = passes_at_the_limit(scene, SEEDS[seed], share=0.98, trials=200)
    assert well_under >= 190, "a rule by which nothing passes shows nothing"
    lower = one_sided_99_lower(passes)
    if lower > 0.05 and seed == "a fresh seed":
        passes += sum(passes_at_the_limit(scene, SEEDS[seed] + more) for more in range(1, MORE + 1))
        lower = one_sided_99_lower(passes, (MORE + 1) * TRIALS)
    assert lower <= 0.05, (scene.name, SEEDS[seed], lower)


def test_first_order_agrees_with_monte_carlo():
    # Another road: 200,000 draws through v = pi n D itself.
    rng = np.random.default_rng(14)
    diameter = 21 * INCH + rng.uniform(-1, 1, 200_000) / 16 * INCH
    speed = rng.normal(3400, 10, 200_000) * RPM
    drawn = LIMIT / (np.pi * diameter) - speed
    blade = Measured(21 * INCH, (Line("tape", INCH / 16 / math.sqrt(3), None, "rectangular"),))
    ours = margin(blade, Measured(3400 * RPM, (Line("reading", 10 * RPM),)))
    assert ours.u == pytest.approx(drawn.std(), rel=0.01)
    assert ours.value == pytest.approx(drawn.mean(), abs=0.01 * ours.u)


def test_a_whole_job_says_the_same_as_its_parts():
    blade, reading, instrument = seen(MIXED, 56.0, np.random.default_rng(15))
    asked = replace(
        job(direct(blade)),
        instruments=(instrument,),
        as_found=Stage((reading,)),
        judged_on="2026-01-01",
    )
    # By hand: the guard at 5 % is that of the scatter and that of the rest in squares, the limit's own doubt 1.1 times.
    seen_as = sample([reading])
    bound = at_surface_speed(LIMIT, Size("", blade))
    (scatter,) = [line for line in seen_as.value.lines if line.dof]
    rest = math.hypot(1.1 * bound.u, *(line.u for line in seen_as.value.lines if not line.dof))
    guard = math.hypot(t.ppf(0.95, scatter.dof) * scatter.u, norm.ppf(0.95) * rest)
    u = math.hypot(scatter.u, rest)
    dof = brentq(lambda nu: t.ppf(0.95, nu) * u - guard, 1, 1e4)
    p = work(asked).as_found.stands.p_over[1]
    assert p == pytest.approx(t.cdf((seen_as.value.value - bound.value) / u, dof), rel=1e-6)
