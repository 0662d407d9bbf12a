"""How strongly a speed track swings at each rate: least squares with the slow trend taken out.

Works on uneven times and across gaps, where a Fourier transform does not.
"""

import math

import numpy as np

AT_ONCE = 2_000_000  # points times rates worked on together: 16 MB for each of a handful of arrays
TREND = 3  # constant, slope and bend: warming up and settling are no swing
WINDOW = 2  # cycles over which the phase is felt: fewer drown in noise, more lose a wandering swing


def trend_free(t, values):
    """The values less their least-squares parabola in time, and the basis it was made of."""
    span = t[-1] - t[0]
    basis, _ = np.linalg.qr(np.vander((t - t[0]) / span - 0.5, TREND))
    return values - basis @ (basis.T @ values), basis


def swing_power(t, values, rates):
    """Sum of squares that a sine of each rate explains beside the trend.

    Parameters
    ----------
    t : ndarray [shape=(n,)]
        Times, rising. [s]
    values : ndarray [shape=(n,)]
        Speeds. [rev/s]
    rates : ndarray [shape=(m,)]
        Rates of swing to try. [Hz]

    Returns
    -------
    ndarray [shape=(m,)]
        At most the sum of squares about the trend. [(rev/s)^2]
    """
    left, basis = trend_free(t, values)
    parts = np.array_split(rates, math.ceil(t.size * rates.size / AT_ONCE))
    return np.concatenate([_explained(t, left, basis, part) for part in parts])


def _explained(t, left, basis, rates):
    """`swing_power` of so few rates that all their waves fit in memory."""
    angle = 2 * np.pi * np.outer(t - t[0], rates)
    cosine, sine = np.cos(angle), np.sin(angle)
    cosine -= basis @ (basis.T @ cosine)
    sine -= basis @ (basis.T @ sine)
    cc, ss, cs = (cosine**2).sum(0), (sine**2).sum(0), (cosine * sine).sum(0)
    c, s = cosine.T @ left, sine.T @ left
    return (ss * c**2 - 2 * cs * c * s + cc * s**2) / (cc * ss - cs**2)


def without_swing(t, values, rate):
    """The values less their trend and the sine of that rate that explains most of them.

    Parameters
    ----------
    t : ndarray [shape=(n,)]
        Times, rising. [s]
    values : ndarray [shape=(n,)]
        Speeds. [rev/s]
    rate : float
        Of the swing. [Hz]

    Returns
    -------
    ndarray [shape=(n,)]
        What is left. [rev/s]
    """
    left, basis = trend_free(t, values)
    waves = _sines(2 * np.pi * rate * (t - t[0]), 1)
    waves -= basis @ (basis.T @ waves)
    return left - waves @ np.linalg.lstsq(waves, left, rcond=None)[0]


def swing_phase(t, values, rate):
    """Phase of the swing at every moment, followed through a window of two cycles.

    Parameters
    ----------
    t : ndarray [shape=(n,)]
        Times. [s]
    values : ndarray [shape=(n,)]
        Speeds. [rev/s]
    rate : float
        About which the phase is followed. [Hz]

    Returns
    -------
    tuple of (ndarray [shape=(n,)], float, float)
        Phase, straight on beyond the first and last window [rad]; mean rate [Hz]; how far the phase
        strays from an even run, standard deviation. [rad]
    """
    left, _ = trend_free(t, values)
    half = WINDOW / rate / 2
    middles = np.linspace(t[0] + half, t[-1] - half, max(2, int(4 * rate * (t[-1] - t[0] - 2 * half)) + 1))
    weight = np.maximum(0.0, 1 - ((t - middles[:, None]) / half) ** 2)
    turning = np.exp(-2j * np.pi * rate * (t - t[0]))
    local = np.unwrap(np.angle(weight @ (left * turning)))
    strays = local - np.polyval(np.polyfit(middles, local, 1), middles)
    mean_rate = rate + (local[-1] - local[0]) / (2 * np.pi * (middles[-1] - middles[0]))
    whole = 2 * np.pi * rate * (t - t[0]) + np.interp(t, middles, local)
    return whole, float(mean_rate), float(strays.std())


def swing_heights(t, values, rate):
    """Half swing at a rate, felt through windows of two cycles one after the other.

    Parameters
    ----------
    t : ndarray [shape=(n,)]
        Times. [s]
    values : ndarray [shape=(n,)]
        Speeds. [rev/s]
    rate : float
        Of the swing. [Hz]

    Returns
    -------
    tuple of (ndarray [shape=(m,)], float)
        At least two, half a cycle apart [rev/s]; and what share of the power at a rate, squared, each of them scatters
        by where there is nothing but noise. [1]
    """
    left, _ = trend_free(t, values)
    half = min(WINDOW / rate, t[-1] - t[0]) / 2
    count = max(2, int(2 * rate * (t[-1] - t[0] - 2 * half)) + 1)
    middles = np.linspace(t[0] + half, t[-1] - half, count)
    weight = np.maximum(0.0, 1 - ((t - middles[:, None]) / half) ** 2)
    turning = np.exp(-2j * np.pi * rate * (t - t[0]))
    held = weight.sum(axis=1)
    weight = weight[held >= np.median(held) / 2]  # a window that falls into a gap of the track says little
    whole = weight.sum(axis=1)
    noise = float(np.median((weight**2).sum(axis=1) / whole**2))
    return 2 * np.abs(weight @ (left * turning)) / whole, noise


def swing_wave(t, values, phase, harmonics):
    """One cycle of the swing as fitted by a sine and its harmonics beside the trend.

    Parameters
    ----------
    t : ndarray [shape=(n,)]
        Times. [s]
    values : ndarray [shape=(n,)]
        Speeds. [rev/s]
    phase : ndarray [shape=(n,)]
        Of the fundamental. [rad]
    harmonics : int
        How many sines.

    Returns
    -------
    tuple of (ndarray, float)
        One cycle at 200 places [rev/s], and the standard deviation of what is left. [rev/s]
    """
    left, basis = trend_free(t, values)
    columns = _sines(phase, harmonics)
    columns = columns - basis @ (basis.T @ columns)
    weights, *_ = np.linalg.lstsq(columns, left, rcond=None)
    rest = left - columns @ weights
    freedom = max(1, t.size - TREND - 2 * harmonics)
    cycle = _sines(np.linspace(0, 2 * np.pi, 200, endpoint=False), harmonics) @ weights
    return cycle, float(np.sqrt((rest**2).sum() / freedom))


def _sines(phase, harmonics):
    angle = np.outer(phase, np.arange(1, harmonics + 1))
    return np.hstack([np.cos(angle), np.sin(angle)])
