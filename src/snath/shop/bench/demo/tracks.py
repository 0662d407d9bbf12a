"""Make the tracks of the demo's surging mower: plain equations with a little noise, the same every time."""

import numpy as np
import numpy.typing as npt

from snath.formulas.signals.candidates import Event, Track
from snath.formulas.stopping.laws import speed_before_stop, stop_time
from snath.quantities.units import from_rpm

SHAFT = "crankshaft"
SWING, RATE = 55.0, 1.35  # rpm to each side, and how often a second
SET_TO, UNDER_LOAD = 3100.0, 2962.0  # rpm
LOAD_ON, LOAD_OFF, SETTLES = 12.0, 24.0, 0.35  # s
RELEASE = 2.0  # s
FRICTION = {"dry": 17.0, "viscous": 0.0, "windage": 0.0045}  # rev/s^2, 1/s, 1/rev

Array = npt.NDArray[np.float64]


def surging() -> Track:
    """As found: it never comes to rest about 3,880 rpm."""
    t = np.arange(0, 24, 0.05)
    return _track(t, 3880 + SWING * np.sin(2 * np.pi * RATE * t), noise=4)


def steady() -> Track:
    """As left: a load put on and taken off again, and it settles at once."""
    t = np.arange(0, 36, 0.05)
    loaded = _share_of_load(t - LOAD_ON) - _share_of_load(t - LOAD_OFF)
    speed = SET_TO - (SET_TO - UNDER_LOAD) * loaded
    return _track(t, speed, noise=4, events=(Event(LOAD_ON, "load on"), Event(LOAD_OFF, "load off")))


def stopping() -> Track:
    """The control let go after two seconds, watched until a second after rest."""
    rest = RELEASE + float(stop_time(speed=from_rpm(SET_TO), **FRICTION))
    t = np.arange(0, rest + 1, 0.02)
    left = np.clip(rest - t, 0, rest - RELEASE)
    speed = 60 * speed_before_stop(time_left=left, **FRICTION)
    return _track(t, speed, noise=5, events=(Event(RELEASE, "release"),))


def _share_of_load(since: Array) -> Array:
    """From none to all of it, the way a sound governor takes it."""
    return np.where(since > 0, 1 - np.exp(-np.maximum(since, 0) / SETTLES), 0.0)


def _track(t: Array, rpm: Array, *, noise: float, events: tuple[Event, ...] = ()) -> Track:
    heard = np.maximum(rpm + noise * np.random.default_rng(21).standard_normal(t.size), 0)
    speeds, u = tuple((heard / 60).round(4).tolist()), from_rpm(noise)
    return Track(SHAFT, tuple(t.round(3).tolist()), speeds, (u,) * t.size, events=events)
