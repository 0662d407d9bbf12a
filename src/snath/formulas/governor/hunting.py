"""Does the engine hunt? The rate and depth of a swing, and a test that tells it from noise.

A hunting governor makes a line in the spectrum of a steady track; rough running and a lively but stable
governor make a broad hump. The strongest rate is therefore held against the rates around it, not against
a noise level assumed beforehand. Equations: docs/governor.md.
"""

from dataclasses import dataclass

import numpy as np
from scipy.ndimage import median_filter
from scipy.optimize import minimize_scalar

from snath.formulas.governor.spectrum import swing_phase, swing_power, swing_wave
from snath.quantities.errors import InputError, within

SHORTEST = 6.0  # s of steady running
FEWEST = 40  # points
CYCLES = 4  # that the slowest searched swing must make
LOWEST, HIGHEST = 0.3, 5.0  # Hz, where governors of small engines hunt; common practice, no source
POINTS_A_CYCLE = 2.5  # fewest, for the highest rate searched
GUARD, SIDE = 2, 12  # independent rates left out beside a line, and taken on each side
FINE = 4  # tried rates for each independent one
TRIALS = 2.5  # independent chances for each independent rate, tried finely


@dataclass(frozen=True, slots=True)
class Hunting:
    """What the track says about hunting.

    Attributes
    ----------
    found : bool
        Whether a swing stands out that is no chance and deep enough to matter.
    rate, u_rate : float
        Of the strongest swing. [Hz]
    half_swing, u_half_swing : float
        Half of peak to peak. [rev/s]
    depth : float
        Half swing over mean speed. [1]
    chance : float
        How often noise alone would show such a line somewhere in the range. [1]
    mean : float
        Mean speed. [rev/s]
    lowest, highest : float
        Rates the track could speak about. [Hz]
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


def find_hunting(*, t, rotation, false_alarm=0.005, least_depth=0.0025) -> Hunting:
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
    .. [1] Line against order statistic of its neighbours: docs/governor.md. Periodogram of uneven
       times by least squares: N. R. Lomb 1976, J. D. Scargle 1982 (from memory).
    """
    times, speeds = steady_track(t, rotation)
    alarm = within("false_alarm", false_alarm, 0, 0.5, open_low=True)
    shallow = within("least_depth", least_depth, 0, 0.5)
    length = times[-1] - times[0]
    lowest, highest = _range(times)
    rates, power = _spectrum(times, speeds, lowest, highest)
    inside = (rates >= lowest) & (rates <= highest)
    strongest = int(np.flatnonzero(inside)[np.argmax(_contrast(rates, power)[inside])])
    trials = TRIALS * (highest - lowest) * length
    chance = _chance(rates, power, strongest, trials)
    first = _refined(times, speeds, rates[strongest], 1 / length)
    phase, rate, strays = swing_phase(times, speeds, first)
    cycle, rest = swing_wave(times, speeds, phase, _harmonics(rate, times))
    half, mean = float(np.ptp(cycle)) / 2, float(speeds.mean())
    u_half = rest * np.sqrt(2 / times.size)
    return Hunting(
        found=bool(chance <= alarm and half / mean >= shallow),
        rate=float(rate),
        u_rate=strays / (np.pi * length),
        half_swing=half,
        u_half_swing=float(u_half),
        depth=half / mean,
        chance=float(chance),
        mean=mean,
        lowest=float(lowest),
        highest=float(highest),
    )


def steady_track(t, rotation):
    """Times and speeds checked: rising, equally many, long and dense enough to show a swing."""
    times = np.atleast_1d(within("t", t, -1e9, 1e9, "s"))
    speeds = np.atleast_1d(within("rotation", rotation, 0, 500, "rev/s", open_low=True))
    if times.shape != speeds.shape or times.ndim != 1:
        raise InputError("track", f"{times.size} times, {speeds.size} speeds", "must be equally many")
    if np.any(np.diff(times) <= 0):
        raise InputError("track", "times that step back", "times must rise")
    length = float(times[-1] - times[0])
    if length < SHORTEST or times.size < FEWEST:
        raise InputError(
            "track",
            f"{length:.1f} s, {times.size} points",
            f"too short: must hold at least {SHORTEST:g} s and {FEWEST} points of steady running",
        )
    return times, speeds


def _range(times):
    """Lowest and highest rate this track can speak about."""
    length, spacing = times[-1] - times[0], float(np.median(np.diff(times)))
    lowest, highest = max(LOWEST, CYCLES / length), min(HIGHEST, 1 / (POINTS_A_CYCLE * spacing))
    if highest <= 2 * lowest:
        raise InputError(
            "track",
            f"a point every {spacing:.2f} s",
            f"too coarse: must have a point at least every {1 / (POINTS_A_CYCLE * 2 * lowest):.2f} s",
        )
    return lowest, highest


def _spectrum(times, speeds, lowest, highest):
    """Power on a grid a quarter of an independent rate apart, some way beyond the range searched."""
    length = times[-1] - times[0]
    first = max(1.5 / length, lowest - (GUARD + SIDE) / length)
    spacing = float(np.median(np.diff(times)))
    last = min(highest + (GUARD + SIDE) / length, 0.5 / spacing)
    rates = np.arange(first, last, 1 / (FINE * length))
    return rates, swing_power(times, speeds, rates)


def _contrast(rates, power):
    """Power over the local level of the spectrum, as a first guess where the line is."""
    return power / _level(rates, power)


def _level(rates, power):
    """Smooth background: a parabola through the running median, in logarithms of both."""
    around = median_filter(power, size=2 * FINE * SIDE + 1, mode="nearest")
    x = np.log(rates)
    return np.exp(np.polyval(np.polyfit(x, np.log(around), 2), x))


def _chance(rates, power, place, trials):
    """Chance that noise shows a line like this anywhere: against the median of its neighbours.

    The neighbours' powers are exponential; so is that at the line when there is none. The r-th smallest
    of m is a sum of independent exponentials, which gives the chance without any table.
    """
    flat = power / _level(rates, power)
    steps = FINE * np.arange(GUARD, GUARD + SIDE + rates.size // FINE)
    beside = np.concatenate([np.sort(_near(place, steps, rates.size))])
    neighbours = np.sort(flat[beside])
    count, rank = neighbours.size, neighbours.size // 2
    ratio = flat[place] / neighbours[rank - 1]
    chance = float(np.prod(1 / (1 + ratio / (count - np.arange(rank)))))
    return float(-np.expm1(trials * np.log1p(-chance)))


def _near(place, steps, size):
    """The 2 SIDE nearest independent rates on both sides; more of one where the other runs out."""
    below, above = place - steps, place + steps
    below, above = below[below >= 0], above[above < size]
    take_below = min(below.size, max(SIDE, 2 * SIDE - above.size))
    take_above = min(above.size, 2 * SIDE - take_below)
    return np.concatenate([below[:take_below], above[:take_above]])


def _refined(times, speeds, rate, width):
    """The rate at which the swing explains most, near the one on the grid."""

    def lost(x):
        return -float(swing_power(times, speeds, np.array([x]))[0])

    low = max(rate - width / 2, 0.5 * rate)
    return float(minimize_scalar(lost, bounds=(low, rate + width / 2), method="bounded").x)


def _harmonics(rate, times):
    """Up to three sines, as far as the spacing of the points can carry them."""
    spacing = float(np.median(np.diff(times)))
    return int(min(3, max(1, 1 / (POINTS_A_CYCLE * spacing) // rate)))
