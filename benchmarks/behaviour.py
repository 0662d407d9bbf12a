"""What does the machine do, and how well is it told? Truth is simulated; figures are medians, rates, ratios.

Flights are compared with scipy's `solve_ivp`, one by one, at the same tolerance in the same run.
"""

import math
import time
from dataclasses import replace

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq
from scipy.stats import beta

from benchmarks.governed_engine import (
    STEP,
    GovernedEngine,
    critical_band,
    measured,
    ride,
    roots_at,
    side_by_side,
    slowed,
    steady_speed,
)
from snath.decisions.behaviour.asked import GovernorInput
from snath.decisions.behaviour.governor import judge_governor
from snath.decisions.behaviour.stop_evidence import stop_evidence
from snath.formulas.governor.hunting import find_hunting
from snath.formulas.signals.candidates import Event, Track
from snath.formulas.stopping.laws import speed_before_stop, stop_time
from snath.formulas.throwing.body import Body
from snath.formulas.throwing.drag import sphere_drag
from snath.formulas.throwing.flight import Air, Launch, fly

RATED = 60.0  # rev/s
SETTLE = 5.0  # s
AIR = Air(density=1.2, viscosity=1.81e-5, gravity=9.80665)
TOLERANCE = 1e-8
ONE_BY_ONE = 40
RATES = (0.5, 0.7, 1.0, 1.5, 2.0, 3.0)  # Hz of an added swing


def binomial(hits: int, count: int) -> str:
    """A rate with its 95 % bounds (Clopper and Pearson)."""
    low = beta.ppf(0.025, hits, count - hits + 1) if hits else 0.0
    high = beta.ppf(0.975, hits + 1, count - hits) if hits < count else 1.0
    return f"{hits / count:6.1%} ({low:.1%} to {high:.1%} of {count})"


def engine(generator: np.random.Generator, *, low: float, high: float) -> GovernedEngine:
    """One engine whose band is so many times that at which it begins to hunt."""
    one = GovernedEngine(
        run_up=generator.uniform(0.4, 1.5),
        lag=generator.uniform(0.03, 0.1),
        natural=generator.uniform(20, 60),
        damping=generator.uniform(0.3, 0.8),
        rest=generator.uniform(0.15, 0.3),
        setting=1.0,
        drag=0.15,
    )
    return replace(one, band=critical_band(one) * generator.uniform(low, high))


def sampled(times: np.ndarray, speed: np.ndarray, generator: np.random.Generator) -> Track:
    """10 or 20 points a second with 0.03 to 0.3 % noise."""
    every, noise = generator.choice([0.05, 0.1]), generator.uniform(0.0003, 0.003)
    return measured(times, speed, rated=RATED, every=every, noise=noise, generator=generator)


def hunting_rows(generator: np.random.Generator) -> None:
    """False cries on stable engines, finds of an added swing, and the rate of real limit cycles."""
    count = 500
    stable = side_by_side([engine(generator, low=2.5, high=6) for _ in range(count)])
    rough = generator.uniform(0.005, 0.03, count)
    times, speeds = ride(stable, seconds=20 + SETTLE, roughness=rough, generator=generator)
    kept = round(SETTLE / STEP)
    times, speeds = times[kept:] - SETTLE, speeds[kept:]
    tracks = [sampled(times, speed, generator) for speed in speeds.T]
    begun = time.perf_counter()
    cried = sum(find_hunting(t=one.t_s, rotation=one.rev_s).found for one in tracks)
    each = 1000 * (time.perf_counter() - begun) / count
    print(f"hunting cried on steady tracks          {binomial(cried, count)}, {each:.1f} ms a track")
    for depth, tried in ((0.01, 100), (0.005, count)):
        for rate in RATES:
            found = 0
            for place in range(tried):
                swing = 1 + depth * np.sin(2 * np.pi * rate * times + place)
                one = sampled(times, speeds[:, place] * swing, generator)
                found += find_hunting(t=one.t_s, rotation=one.rev_s).found
            sides = f"{depth:.1%} to each side, {2 * depth:.0%} from peak to peak,"
            print(f"swing of {sides} at {rate} Hz found {binomial(found, tried)}")
    for rough_share in (0.005, 0.01, 0.02):
        off = rate_errors(generator, rough_share)
        within = int((np.abs(off) <= 0.02).sum())
        print(
            f"rate of a hunting governor, roughness {rough_share:.1%}: median error {np.median(np.abs(off)):.2%}, "
            f"within 2 % {binomial(within, len(off))}"
        )


def rate_errors(generator: np.random.Generator, roughness: float, count: int = 100) -> np.ndarray:
    """Rate read from the noisy track over that counted on the clean ride, less one."""
    engines = []
    for _ in range(count):
        one = engine(generator, low=0.3, high=0.8)
        growing = max(roots_at(one), key=lambda root: root.real)
        engines.append(slowed(one, abs(growing.imag) / (2 * np.pi) / generator.uniform(0.5, 3)))
    times, speeds = ride(
        side_by_side(engines), seconds=50, start=1.02, roughness=roughness, generator=generator
    )
    kept = round(30 / STEP)
    errors = []
    for speed in speeds[kept:].T:
        one = measured(times[kept:] - 30, speed, rated=RATED, every=0.05, noise=0.001, generator=generator)
        hunting = find_hunting(t=one.t_s, rotation=one.rev_s)
        width = round(0.25 / hunting.rate / STEP)
        smooth = np.convolve(speed - speed.mean(), np.ones(width) / width, "same")[width:-width]
        up = np.flatnonzero((smooth[:-1] < 0) & (smooth[1:] >= 0))
        if hunting.found and up.size > 2:
            errors.append(hunting.rate / ((up.size - 1) / ((up[-1] - up[0]) * STEP)) - 1)
    return np.array(errors)


def droop_rows(generator: np.random.Generator, count: int = 60) -> None:
    """Droop from a track against the root of the governor's own equations."""
    engines = [
        replace(one, setting=generator.uniform(1.02, 1.06))
        for one in (engine(generator, low=2.5, high=5) for _ in range(count))
    ]
    load = generator.uniform(0.3, 0.6, count)
    start = [steady_speed(one, 0.0) for one in engines]
    loads = ((0.0, 0.0), (20.0, load))
    times, speeds = ride(
        side_by_side(engines), seconds=40, loads=loads, start=start, roughness=0.01, generator=generator
    )
    off = []
    for one, put_on, speed in zip(engines, load, speeds.T, strict=True):
        track = measured(
            times,
            speed,
            rated=RATED,
            every=0.05,
            noise=0.002,
            generator=generator,
            events=(Event(20.0, "load on"),),
        )
        droop = judge_governor(GovernorInput(track=track)).droop_on_loaded
        assert droop is not None
        off.append(droop.value - (steady_speed(one, 0.0) / steady_speed(one, put_on) - 1))
    off = 100 * np.abs(off)
    near = int((off <= 0.2).sum())
    print(
        f"droop from a track: median error {np.median(off):.3f}, worst {off.max():.3f} percentage points, "
        f"within 0.2 {binomial(near, count)}"
    )


def stopped(generator: np.random.Generator, *, seen_to: float, u_release: float) -> tuple[Track, float]:
    """A run-down with a random mix of frictions, seen to a share of its speed, its release marked by hand."""
    top = generator.uniform(45, 60)
    standstill = generator.uniform(1.5, 6)
    noise = generator.uniform(0.002, 0.006)
    share = generator.dirichlet([1.5, 1.0, 1.0])

    def terms(brake: float) -> dict[str, float]:
        return {
            "dry": brake * share[0],
            "viscous": brake * share[1] / top,
            "windage": brake * share[2] / top**2,
        }

    brake = brentq(lambda x: stop_time(speed=top, **terms(x)) - standstill, 0.1, 5000)
    t = np.arange(0, 2 + standstill + 1, 0.05)
    clean = speed_before_stop(time_left=np.clip(2 + standstill - t, 0, standstill), **terms(brake))
    noisy = np.maximum(clean + noise * top * generator.standard_normal(t.size), 0)
    kept = clean >= seen_to * top
    release = Event(2 + u_release * generator.standard_normal(), "release")
    u = (noise * top,) * int(kept.sum())
    return Track("spindle", tuple(t[kept]), tuple(noisy[kept]), u, events=(release,)), standstill


def stopping_rows(generator: np.random.Generator, count: int = 1000) -> None:
    """Error, width and coverage of stopping times."""
    for name, seen_to in (("down to rest", 0.0), ("down to 5 %", 0.05), ("down to 30 %", 0.3)):
        errors, widths, covered, begun = [], [], 0, time.perf_counter()
        for _ in range(count):
            track, truth = stopped(generator, seen_to=seen_to, u_release=0.06)
            found = stop_evidence(track, u_release=0.06, u_standstill=0.0, braked=False)
            if found.value is None:
                continue
            errors.append(abs(found.value - truth))
            widths.append(found.latest - found.earliest)
            covered += found.earliest <= truth <= found.latest
        each = 1000 * (time.perf_counter() - begun) / count
        print(
            f"stop seen {name}: median error {np.median(errors):.3f} s, median width {np.median(widths):.2f} s, "
            f"covered {binomial(covered, len(errors))}, {each:.0f} ms each"
        )


def scipy_flight(speed: float, angle: float, mass: float, diameter: float) -> float:
    """One throw of a ball by solve_ivp."""
    area = math.pi * diameter**2 / 4

    def rate(_: float, y: np.ndarray) -> list[float]:
        fast = math.hypot(y[2], y[3])
        drag = sphere_drag(reynolds=max(AIR.density * fast * diameter / AIR.viscosity, 0.1))
        brake = AIR.density * drag * area * fast / (2 * mass)
        return [y[2], y[3], -brake * y[2], -brake * y[3] - AIR.gravity]

    def ground(_: float, y: np.ndarray) -> float:
        return float(y[1])

    ground.terminal, ground.direction = True, -1  # type: ignore[attr-defined]
    start = [0.0, 0.08, speed * math.cos(angle), speed * math.sin(angle)]
    found = solve_ivp(rate, (0, 100), start, events=ground, rtol=TOLERANCE, atol=TOLERANCE)
    return float(found.y_events[0][0][0])


def flight_rows(generator: np.random.Generator) -> None:
    """Many throws at once beside one by one."""
    for count in (100, 1000, 10_000):
        speed, angle = generator.uniform(5, 190, count), generator.uniform(0, 1.2, count)
        mass, diameter = generator.uniform(0.001, 0.02, count), generator.uniform(0.006, 0.02, count)
        times = []
        for _ in range(5):
            begun = time.perf_counter()
            flights = fly(Launch(speed, angle, 0.08), Body(mass, diameter), AIR, tolerance=TOLERANCE)
            times.append(time.perf_counter() - begun)
        together = float(np.median(times)) / count
        begun = time.perf_counter()
        alone = [scipy_flight(*x) for x in zip(speed[:ONE_BY_ONE], angle, mass, diameter, strict=False)]
        each = (time.perf_counter() - begun) / ONE_BY_ONE
        worst = float(np.abs(np.array(alone) / flights.distance[:ONE_BY_ONE] - 1).max())
        print(
            f"{count:6d} flights at once: {1e6 * together:7.1f} us each; solve_ivp one by one {1e6 * each:7.0f} us: "
            f"ratio {each / together:5.0f}; they agree to {worst:.0e}"
        )


def main() -> None:
    """Print the tables, with fixed seeds and one fresh."""
    fresh = int(np.random.default_rng().integers(1_000_000))
    for name, seed in (("fixed", 6), ("fresh", fresh)):
        print(f"seed {seed} ({name})")
        generator = np.random.default_rng(seed)
        hunting_rows(generator)
        droop_rows(generator)
        stopping_rows(generator)
    flight_rows(np.random.default_rng(6))


if __name__ == "__main__":
    main()
