"""Idle and two governed speeds in one recording, as it is to be recorded: sound and pulses whose speeds are known."""

from functools import cache

import numpy as np

from benchmarks.simulator.engine import Scene, record
from benchmarks.simulator.files import sound_file
from snath.decisions.machine.parts import Engine, Machine

RPM = (1750.0, 3300.0, 3180.0)
SECONDS = (4.0, 6.0, 6.0)
ENDS = ((0.0, 4.0), (4.0, 10.0), (10.0, 16.0))
CHANGING = 0.5  # s from one speed to the next, in the pulses
SINGLE = Machine("m", "walk-behind rotary mower", Engine(strokes=4, cylinders=1, firings=(0.0,)))


@cache
def as_sound() -> bytes:
    generator, samples = np.random.default_rng(5), []
    for rpm, seconds in zip(RPM, SECONDS, strict=True):
        scene = Scene(rev_s=rpm / 60, seconds=seconds, firings=(0.0,), snr_db=20, cut_off=60)
        take = record(scene, generator)
        samples.append(0.1 * take.samples / np.std(take.samples))
    return sound_file(np.concatenate(samples).astype(np.float32), take.rate, "wav")


def as_pulses(*, first_s: float = 1000.0) -> bytes:
    """One pulse a turn, each turn 0.3 % long or short, on a list whose clock stood at `first_s` at the first."""
    t = np.arange(0, sum(SECONDS), 1e-3)
    corners = [t for _, end in ENDS[:-1] for t in (end - CHANGING / 2, end + CHANGING / 2)]
    speed = np.interp(t, corners, [rpm / 60 for rpm in (RPM[0], RPM[1], RPM[1], RPM[2])])
    turns = np.concatenate([[0.0], np.cumsum(speed[1:] * np.diff(t))])
    at = np.interp(np.arange(int(turns[-1])), turns, t)
    turn = np.diff(at) * (1 + 0.003 * np.random.default_rng(6).standard_normal(len(at) - 1))
    at = first_s + np.concatenate([[0.0], np.cumsum(turn)])
    return ("t_s\n" + "".join(f"{moment:.7f}\n" for moment in at)).encode()
