"""A simulated mower whose truth is known: surging as found, steady as left, and its stop test, as tracks.

A machine of our own invention: 21 in walk-behind, blade on the crankshaft. As found its linkage hangs up, so
that it hunts, and it is set for 3,700 rpm in heavy grass; as left the linkage is free and it is set to 3,100
rpm without load.
"""

from dataclasses import replace

import numpy as np
from scipy.optimize import brentq

from benchmarks.governed_engine import GovernedEngine, measured, ride, steady_speed
from snath.formulas.signals.candidates import Track
from snath.formulas.stopping.laws import speed_before_stop, stop_time

RATED = 60.0  # rev/s
LOAD = 0.6  # of full torque, in heavy grass
BAND = 0.075  # of the governor spring, the same before and after
STICKY = {"natural": 12.0, "damping": 0.4}  # linkage hung up: the governor comes too late
FREE = {"natural": 45.0, "damping": 0.7}
FALL = (16.0, 0.25, 0.004)  # rev/s^2, 1/s, 1/rev: brake, oil and air of the stop test
RELEASE = 3.0  # s


def as_found() -> GovernedEngine:
    """Linkage hung up, set so that it runs 3,700 rpm loaded."""
    return _set_to(GovernedEngine(run_up=1.0, lag=0.07, band=BAND, **STICKY), 3700, load=LOAD)


def as_left() -> GovernedEngine:
    """Linkage freed, set to 3,100 rpm without load."""
    return _set_to(GovernedEngine(run_up=1.0, lag=0.07, band=BAND, **FREE), 3100, load=0.0)


def _set_to(engine: GovernedEngine, rpm: float, *, load: float) -> GovernedEngine:
    """The same engine with its spring set so that it balances at that speed under that load."""

    def missing(setting: float) -> float:
        return steady_speed(replace(engine, setting=setting), load) * RATED * 60 - rpm

    return replace(engine, setting=float(brentq(missing, 0.6, 1.3)))


def speed_track(engine: GovernedEngine, generator: np.random.Generator) -> Track:
    """20 s without load, then 20 s in heavy grass."""
    times, speed = ride(
        engine,
        seconds=45,
        loads=((0.0, 0.0), (25.0, LOAD)),
        start=engine.setting,
        roughness=0.008,
        generator=generator,
    )
    kept = times >= 5
    return measured(
        times[kept] - 5, speed[kept, 0], rated=RATED, every=0.05, noise=0.001, generator=generator
    )


def stop_track(generator: np.random.Generator) -> Track:
    """3,100 rpm, let go at 3 s, watched until a second after rest."""
    t = np.arange(0, 7, 0.04)
    dry, viscous, windage = FALL
    standstill = stop_moment()
    left = np.clip(standstill - t, 0, standstill - RELEASE)
    speed = speed_before_stop(time_left=left, dry=dry, viscous=viscous, windage=windage)
    noise = 0.15
    noisy = np.maximum(speed + noise * generator.standard_normal(t.size), 0.0)
    return Track("crankshaft", tuple(t.tolist()), tuple(noisy.tolist()), (noise,) * t.size)


def stop_moment() -> float:
    """When it truly stands still, on the track's clock. [s]"""
    dry, viscous, windage = FALL
    return RELEASE + float(stop_time(speed=3100 / 60, dry=dry, viscous=viscous, windage=windage))


def tracks() -> dict[str, Track]:
    """The three tracks, by what they are of; the same every time."""
    generator = np.random.default_rng(3700)
    return {
        "surging as found": speed_track(as_found(), generator),
        "steady as left": speed_track(as_left(), generator),
        "stop as left": stop_track(generator),
    }
