"""Find the repetition rates that fit a film, and tell their folds apart by the frame times."""

from dataclasses import replace
from typing import Any

import numpy as np

from snath.formulas.signals.film.fit import FlickerFit, follow
from snath.formulas.signals.film.foretold import foretold_errors
from snath.formulas.signals.film.frame_times import evened, folds, only_rounded
from snath.formulas.signals.film.search import likely_paths, straight_paths

SLOWEST = 0.3  # Hz of apparent motion; slower counts as standing
ALIKE = 0.3  # Hz by which two fits must differ to be kept both
SEEDS, FOLDED = 3, 6  # fits whose aliases are looked at, and whose folds are named
ORDERS = ((1, 1), (2, 1), (3, 1), (1, 2), (1, 3))  # times and parts of a rate that may be taken for it
FOLLOWED = 16  # aliases that are followed, those that foretell the pictures best


def fitting_rates(t: Any, series: Any, *, rate: float, low: float, high: float) -> list[FlickerFit]:
    """Every rate of the range that may bring the pictures into order, the aliases of each among them.

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
        In no order that matters; empty where nothing fits. Those whose times are even are meant by an even clock, of
        which the stamps may be mistaken readings: each then comes with all of its folds.
    """
    even_t, rounded = evened(t), only_rounded(t)
    if high <= rate / 2 and rounded:  # nothing folds into the range
        return _fits(even_t, series, low, high)
    as_even = _fits(even_t, series, SLOWEST, rate / 2)
    as_stamped = _fits(even_t if rounded else t, series, low, high)
    # Each search may have missed what the other saw: hand the best of each over to the other.
    seen = _all_folds(as_stamped[:SEEDS], even_t, rate, SLOWEST, rate / 2)
    as_even = _added(as_even, even_t, series, [f.phase for f in seen], SLOWEST, rate / 2)
    as_even = _added(as_even, even_t, series, _other_orders(as_even[:2], even_t, rate), SLOWEST, rate / 2)
    by_even_clock = _all_folds(as_even[:FOLDED], even_t, rate, low, high)
    if rounded:
        return by_even_clock
    aliases = _likely_aliases(
        [*as_stamped[:SEEDS], *as_even[:SEEDS]], t, series, rate=rate, low=low, high=high
    )
    return [*_added(as_stamped, t, series, aliases, low, high), *by_even_clock]


def _likely_aliases(fits: Any, t: Any, series: Any, *, rate: Any, low: Any, high: Any) -> Any:
    """Phases at these times of what these fits may be aliases of: folds of the frame rate, in any order."""
    turns, span = rate * (t - t[0]), float(t[-1] - t[0])
    found: list[tuple[float, np.ndarray]] = []
    for fit in fits:
        smooth = np.interp(t, fit.t_s, fit.phase)
        for times, parts in ORDERS:
            for multiple in range(-int(high * parts / rate) - 2, int(high * parts / rate) + 3):
                for sense in (1, -1):
                    phase = (multiple * turns + sense * smooth) * times / parts
                    if low <= (phase[-1] - phase[0]) / span <= high:
                        found.append((float(foretold_errors(phase, series).sum()), phase))
    found.sort(key=lambda one: one[0])
    kept: list[np.ndarray] = []
    for _, phase in found:
        if len(kept) >= FOLLOWED:
            break
        if all(abs(phase[-1] - phase[0] - other[-1] + other[0]) > ALIKE * span for other in kept):
            kept.append(phase)
    return kept


def _fits(t: Any, series: Any, low: Any, high: Any) -> list[FlickerFit]:
    """Every likely path followed, and half and twice the best ones; least left over first."""
    starts = [
        *straight_paths(t, series, low=low, high=high),
        *likely_paths(t, series, low=low, high=high),
    ]
    fits = _added([], t, series, starts, low, high)
    return _added(fits, t, series, [f.phase * part for f in fits[:2] for part in (0.25, 0.5, 2.0)], low, high)


def _added(fits: list[FlickerFit], t: Any, series: Any, starts: Any, low: Any, high: Any) -> list[FlickerFit]:
    """The fits with those from further starts; of nearly equal ones the best stays."""
    every = fits + [follow(t, series, phase=start) for start in starts]
    kept: list[FlickerFit] = []
    for fit in sorted(every, key=lambda f: f.left):
        if low * 0.98 <= fit.rate <= high * 1.02 and not any(abs(fit.rate - f.rate) < ALIKE for f in kept):
            kept.append(fit)
    return kept


def _other_orders(fits: list[FlickerFit], t: Any, rate: Any) -> list[np.ndarray]:
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


def _all_folds(fits: list[FlickerFit], t: Any, rate: Any, low: Any, high: Any) -> list[FlickerFit]:
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
