"""Which repetition rates fit a film, and do its frame times tell their folds apart?"""

from dataclasses import replace

import numpy as np

from snath.formulas.signals.film.fit import FlickerFit, follow
from snath.formulas.signals.film.search import likely_paths, straight_paths
from snath.formulas.signals.film.frame_times import evened, folds, only_rounded

SLOWEST = 0.3  # Hz of apparent motion; slower counts as standing
LEAST_GAIN = 0.05  # share that must be explained better, beyond what two searches differ by
ALIKE = 0.3  # Hz by which two fits must differ to be kept both
EVEN = 12.0  # gain in log-likelihood from which uneven time stamps are believed


def fitting_rates(t, series, *, rate, low, high) -> tuple[list[FlickerFit], bool]:
    """What fits in the range, and whether the frames came evenly, so that every fold fits alike.

    Parameters
    ----------
    t : ndarray, shape (n,)
        Rising times of the frames. [s]
    series : ndarray, shape (n, k)
        Courses of brightness. [any]
    rate : float
        Frames a second. [1/s]
    low, high : float
        Range of the repetition rate. [Hz]

    Returns
    -------
    list of FlickerFit
        In no order that matters; empty where nothing fits.
    bool
        Whether nothing in the time stamps tells the folds apart.
    """
    even_t = evened(t)
    if high <= rate / 2 and only_rounded(t):  # nothing folds into the range
        return _fits(even_t, series, low, high), True
    as_even = _fits(even_t, series, SLOWEST, rate / 2)
    as_stamped = _fits(even_t if only_rounded(t) else t, series, low, high)
    # Each search may have missed what the other saw: hand the best of each over to the other.
    seen = _all_folds(as_stamped[:2], even_t, rate, SLOWEST, rate / 2)
    as_even = _added(as_even, even_t, series, [f.phase for f in seen], SLOWEST, rate / 2)
    as_even = _added(as_even, even_t, series, _other_orders(as_even[:2], even_t, rate), SLOWEST, rate / 2)
    if only_rounded(t):
        return _all_folds(as_even, even_t, rate, low, high), True
    seen = _all_folds(as_even[:2], t, rate, low, high)
    as_stamped = _added(as_stamped, t, series, [f.phase for f in seen], low, high)
    if not as_even or not as_stamped:
        return as_stamped, False
    # Stamps that explain hardly more than an even clock does are rounded readings of one.
    gain = _least(as_even) - _least(as_stamped)
    if len(t) * gain < EVEN or gain < LEAST_GAIN:
        return _all_folds(as_even, even_t, rate, low, high), True
    return as_stamped, False


def _fits(t, series, low, high) -> list[FlickerFit]:
    """Every likely path followed, and half and twice the best ones; least left over first."""
    starts = [
        *straight_paths(t, series, low=low, high=high),
        *likely_paths(t, series, low=low, high=high),
    ]
    fits = _added([], t, series, starts, low, high)
    return _added(fits, t, series, [f.phase * part for f in fits[:2] for part in (0.25, 0.5, 2.0)], low, high)


def _added(fits: list[FlickerFit], t, series, starts, low, high) -> list[FlickerFit]:
    """The fits with those from further starts; of nearly equal ones the best stays."""
    every = fits + [follow(t, series, phase=start) for start in starts]
    kept: list[FlickerFit] = []
    for fit in sorted(every, key=lambda f: f.left):
        if low * 0.98 <= fit.rate <= high * 1.02 and not any(abs(fit.rate - f.rate) < ALIKE for f in kept):
            kept.append(fit)
    return kept


def _other_orders(fits: list[FlickerFit], t, rate) -> list[np.ndarray]:
    """Phases of which one of these may be the second or third harmonic, folded."""
    turns = rate * (t - t[0])
    return [
        (multiple * turns + sense * fit.phase) / harmonic
        for fit in fits
        for harmonic in (2, 3)
        for multiple in range(harmonic)
        for sense in (1, -1)
        if 0 < multiple * rate + sense * fit.rate < harmonic * rate / 2
    ]


def _least(fits: list[FlickerFit]) -> float:
    """Logarithm of the least that is left unexplained."""
    return float(np.log(min(fit.left for fit in fits) + 1e-12))


def _all_folds(fits: list[FlickerFit], t, rate, low, high) -> list[FlickerFit]:
    """What evenly spaced frames show alike: the same fit at every fold of the frame rate, at these times.

    The phase is taken as a smooth course and read anew at the times: read off frame by frame it would
    carry the unevenness of one set of times over to the other.
    """
    found: list[FlickerFit] = []
    for fit in fits:
        phase = np.interp(t, fit.t_s, fit.phase)
        for frequency in folds(frequency=fit.rate, rate=rate, low=low, high=high):
            multiple = round((frequency - fit.rate) / rate)
            same = abs(frequency - fit.rate - multiple * rate) < 1e-6
            if not same:
                multiple = round((frequency + fit.rate) / rate)
            turned = multiple * rate * (t - t[0]) + (phase if same else -phase)
            found.append(replace(fit, rate=frequency, t_s=t, phase=turned))
    return found
