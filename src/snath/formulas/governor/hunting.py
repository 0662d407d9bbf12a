"""Detect hunting: the rate and depth of a swing, and a test that tells it from noise.

A hunting governor makes a line in the spectrum of a steady track; rough running and a lively but stable
governor make a broad hump. The line is therefore held against the smooth level of the rates around it,
not against a noise assumed beforehand. Equations: docs/governor.md.

Two words for one swing: its half swing is what speed goes to each side of the mean, its peak to peak is
twice that. `depth` is always to each side.
"""

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from snath.formulas.governor.background import background
from snath.formulas.governor.kept_up import keeps_up
from snath.formulas.governor.spectrum import Swings
from snath.quantities.errors import InputError, within
from snath.quantities.message import Message

SHORTEST = 6.0  # s of steady running
FEWEST = 40  # points
CYCLES = 3  # that the slowest searched swing must make
LOWEST, HIGHEST = 0.05, 5.0  # Hz, where governors of small engines hunt; common practice, no source
MANY, FEW_ALARM = 5, 0.001  # cycles under which it must stand out more, and how much
POINTS_A_CYCLE = 2.5  # fewest, for the highest rate searched
BESIDE = 14  # independent rates beyond the range searched that speak for the level as well
FINE = 4  # tried rates for each independent one
FINER = 9  # tried between the two neighbours of the best


@dataclass(frozen=True, slots=True)
class Hunting:
    """What the track says about hunting.

    Attributes
    ----------
    found : bool
        Whether a swing stands out that is no chance, deep enough to matter, and keeps itself up.
    kept_up : bool
        Whether the strongest swing goes on by itself; a lively but stable loop dies down and is pushed anew.
    rate, u_rate : float
        Of the strongest swing. [Hz]
    half_swing, u_half_swing : float
        What speed goes to each side of the mean: half of peak to peak. [rev/s]
    depth : float
        Half swing over mean speed; the swing is twice as deep from peak to peak. [1]
    chance : float
        How often noise alone would show such a line somewhere in the range. [1]
    mean : float
        Mean speed. [rev/s]
    lowest, highest : float
        Rates the track could speak about; of slower swings it says nothing. [Hz]
    seconds : float
        Length of the track. [s]
    """

    found: bool
    rate: float
    u_rate: float
    half_swing: float
    u_half_swing: float
    depth: float
    chance: float
    mean: float
    lowest: float
    highest: float
    kept_up: bool = False
    seconds: float = 0.0


def find_hunting(*, t: Any, rotation: Any, false_alarm: float = 0.01, least_depth: float = 0.0025) -> Hunting:
    """Look for hunting in one stretch of steady running.

    Parameters
    ----------
    t : array_like [shape=(n,)]
        Times, rising, at least 6 s and 40 points. [s]
    rotation : array_like [shape=(n,)]
        Speed, over 0 and up to 500. [rev/s]
    false_alarm : float
        Chance of crying on noise that is accepted, over 0 and up to 0.5. [1]
    least_depth : float
        Half swing over mean that matters, 0 to 0.5. A quarter of a per cent is what the narrowest
        steady band of ISO 8528-5 (0.5 % wide, from memory) leaves to each side. [1]

    Returns
    -------
    Hunting

    Raises
    ------
    InputError
        If the track is too short, too coarse, not rising in time or not a number.

    References
    ----------
    .. [1] Line against a smooth level: docs/governor.md. Periodogram of uneven times by least squares:
       N. R. Lomb 1976, J. D. Scargle 1982; how often its highest point passes a bound by chance: S. O. Rice
       1944, R. B. Davies 1977, R. V. Baluev 2008 (from memory).
    """
    times, speeds = steady_track(t, rotation)
    alarm = within("false_alarm", false_alarm, 0, 0.5, open_low=True)
    shallow = within("least_depth", least_depth, 0, 0.5)
    lowest, highest = _range(times)
    swings = Swings(times, speeds)
    strongest, chance = _strongest(swings, lowest, highest)
    phase, rate, strays = swings.phase(strongest)
    cycle, rest = swings.wave(phase, _harmonics(rate, times))
    half, mean = float(np.ptp(cycle)) / 2, float(speeds.mean())
    cycles = strongest * float(times[-1] - times[0])
    kept_up = keeps_up(swings.felt(strongest), cycles)
    alarm = alarm if cycles >= MANY else min(alarm, FEW_ALARM)
    return Hunting(
        found=bool(chance <= alarm and half / mean >= shallow and kept_up),
        rate=float(rate),
        u_rate=strays / (np.pi * (times[-1] - times[0])),
        half_swing=half,
        u_half_swing=float(rest * np.sqrt(2 / times.size)),
        depth=half / mean,
        chance=float(chance),
        mean=mean,
        lowest=float(lowest),
        highest=float(highest),
        kept_up=bool(kept_up),
        seconds=float(times[-1] - times[0]),
    )


def steady_track(t: Any, rotation: Any) -> Any:
    """Times and speeds checked: rising, equally many, long and dense enough to show a swing."""
    times = np.atleast_1d(within("t", t, -1e9, 1e9, "s"))
    speeds = np.atleast_1d(within("rotation", rotation, 0, 500, "rev/s", open_low=True))
    if times.shape != speeds.shape or times.ndim != 1:
        given = Message("track.times-speeds", times=int(times.size), speeds=int(speeds.size))
        raise InputError("track", given, Message("track.equally-many"))
    if np.any(np.diff(times) <= 0):
        raise InputError("track", Message("track.step-back"), Message("track.rise"))
    length = float(times[-1] - times[0])
    if length < SHORTEST or times.size < FEWEST:
        raise InputError(
            "track",
            Message("track.length-points", length=length, points=int(times.size)),
            Message("track.too-short-steady", least=SHORTEST, points=FEWEST),
        )
    return times, speeds


def _range(times: Any) -> Any:
    """Lowest and highest rate this track can speak about."""
    length, spacing = times[-1] - times[0], float(np.median(np.diff(times)))
    lowest, highest = max(LOWEST, CYCLES / length), min(HIGHEST, 1 / (POINTS_A_CYCLE * spacing))
    if highest <= 2 * lowest:
        raise InputError(
            "track",
            Message("track.point-every", spacing=float(spacing)),
            Message("track.too-coarse", least=float(1 / (POINTS_A_CYCLE * 2 * lowest))),
        )
    return lowest, highest


def _strongest(swings: Swings, lowest: Any, highest: Any) -> Any:
    """The rate at which a line stands out most, and the chance that noise alone shows one like it."""
    times = swings.t
    length, chances = times[-1] - times[0], _Chances(times, lowest, highest)
    rates = _grid(times, lowest, highest)
    power = swings.power(rates)
    first = background(rates, power, length=length)
    inside = np.flatnonzero((rates >= lowest) & (rates <= highest))
    least = chances.logarithm(rates, power / first.level, first.doubt)
    place = int(inside[np.argmin(least[inside])])
    rate, height = _refined(swings, rates[place], 1 / (FINE * length))
    # the level beside the line is read once the line is taken out, or its own skirts would lift it
    left = swings.without(rate).power(rates)
    beside = background(rates, left, length=length, kept=np.abs(rates - rate) * length >= 1)
    expected = chances.logarithm(rate, height / beside.level[place], beside.doubt[place])
    return rate, float(-np.expm1(-np.exp(min(expected, 10.0))))


def _grid(times: Any, lowest: Any, highest: Any) -> Any:
    """Rates a quarter of an independent one apart, some way beyond the range searched."""
    length, spacing = times[-1] - times[0], float(np.median(np.diff(times)))
    first = max(1 / length, lowest - BESIDE / length)
    last = min(highest + BESIDE / length, 0.5 / spacing)
    return np.arange(first, last, 1 / (FINE * length))


@dataclass(frozen=True, slots=True)
class _Chances:
    """How many lines of such a height noise shows in the range, a rate in any octave being as likely."""

    times: np.ndarray
    lowest: float
    highest: float

    def logarithm(self, rate: Any, height: Any, doubt: Any) -> Any:
        """Logarithm of the number expected, were every rate as good a place as this one."""
        surprise = np.log1p(height * doubt) / doubt
        width = np.sqrt(4 * np.pi * self.times.var())
        places = width * rate * math.log(self.highest / self.lowest)
        return np.log(places) + np.log(np.maximum(surprise, 0.5)) / 2 - surprise


def _refined(swings: Swings, rate: Any, step: Any) -> Any:
    """The rate at which the swing explains most, between the two neighbours on the grid, and how much it does."""
    near = rate + step * np.linspace(-1, 1, FINER)
    power = swings.power(near)
    place = min(max(int(power.argmax()), 1), FINER - 2)
    before, best, after = power[place - 1 : place + 2]
    bend = before - 2 * best + after
    shift = 0.0 if bend >= 0 else float(np.clip((before - after) / (2 * bend), -1, 1))
    return float(near[place] + shift * (near[1] - near[0])), float(power.max())


def _harmonics(rate: Any, times: Any) -> Any:
    """Up to three sines, as far as the spacing of the points can carry them."""
    spacing = float(np.median(np.diff(times)))
    return int(min(3, max(1, 1 / (POINTS_A_CYCLE * spacing) // rate)))
