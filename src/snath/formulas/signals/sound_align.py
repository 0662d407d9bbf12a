"""Correct a phase that settled beside its place where another fits nearly as well.

A pipe that rings at one frequency makes phases a period of it apart look alike, so that a small step may
lead a block, and all after it, to the wrong one. Once the lines' common amplitudes are known, every block
can be tried all around the cycle, and the likeliest course through all of them found (docs/sound.md,
equation 8a).
"""

from typing import Any

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from scipy.fft import irfft

from snath.formulas.signals.sound_phase import in_common, turned_back

PLACES = 64  # of a cycle at which a block may stand
LEAP = 6  # places it may leap between blocks
DOUBT = 8.0  # by how much another place must fit some block better for all to be looked at again [nat]


def realigned(lines: Any, noise: Any, phase: Any, step: float) -> Any:
    """The likeliest places of all blocks in a whole cycle.

    Parameters
    ----------
    lines : ndarray of complex, shape (blocks, top)
        Amplitudes of lines 1 to top. [any]
    noise : ndarray, shape (top,)
        Noise variance of such an amplitude. [any]
    phase : ndarray, shape (blocks,)
        Where they were thought to stand. [cycle]
    step : float
        Usual change of a phase from block to block. [cycle]

    Returns
    -------
    ndarray, shape (blocks,)
        Phases; those given where no block has reason to stand elsewhere. [cycle]
    """
    turned = turned_back(lines, phase)
    mean, _, trust = in_common(turned, noise)
    reach = min(lines.shape[1], PLACES // 2)
    match = np.zeros((len(lines), PLACES // 2 + 1), dtype=np.complex64)
    match[:, 1 : reach + 1] = (turned * mean.conj() * trust)[:, :reach].conj()
    fits = irfft(match, PLACES, axis=1) * PLACES  # ln of likelihood at phases further by each place
    if (fits.max(axis=1) - fits[:, 0]).max() < DOUBT:
        return phase
    course = likeliest_course(fits, 1 / (PLACES * step))
    return phase + (course - np.median(course)) / PLACES


def likeliest_course(fits: Any, price: float) -> Any:
    """Places of most likelihood in a row, by dynamic programming around the circle.

    Parameters
    ----------
    fits : ndarray, shape (blocks, places)
        ln of likelihood at every place. [nat]
    price : float
        Of a leap by one place. [nat]

    Returns
    -------
    ndarray of float, shape (blocks,)
        Places counted on over the end of the circle, the last one about 0. [1]
    """
    places = fits.shape[1]
    toll = (price * np.abs(np.arange(-LEAP, LEAP + 1))).astype(fits.dtype)
    total = np.empty((len(toll), places), dtype=fits.dtype)
    reached = np.empty(
        (len(fits), places + 2 * LEAP), dtype=fits.dtype
    )  # both ends stand beyond the other too
    leaps = sliding_window_view(reached, places, axis=1)  # of every block, leap by leap
    for i, here in enumerate(fits):
        best = reached[i, LEAP:-LEAP]
        best[:] = here
        if i:
            best += np.subtract(leaps[i - 1], toll[:, None], out=total).max(axis=0)
        reached[i, :LEAP], reached[i, -LEAP:] = best[-LEAP:], best[:LEAP]
    place = int(reached[-1, LEAP:-LEAP].argmax())
    course = [place if place < places / 2 else place - places]
    for before in reached[-2::-1]:  # which leap was best matters on the course alone
        leapt = int((before[place : place + len(toll)] - toll).argmax()) - LEAP
        course.append(course[-1] + leapt)
        place = (place + leapt) % places
    return np.array(course[::-1], dtype=float)
