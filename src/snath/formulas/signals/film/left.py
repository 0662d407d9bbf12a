"""Reject speeds that look alike by the shutter: by its exposure and by its rows, taken one after another."""

from dataclasses import replace
from typing import Any

import numpy as np

from snath.formulas.signals.film.fit import HARMONICS, explained, least_explained
from snath.formulas.signals.film.rates import ALIKE
from snath.formulas.signals.film.rivals import EXPLAINED, Likely
from snath.formulas.signals.film.rows import RowSlope, row_slope
from snath.formulas.signals.film.shutter import LATE, Shutter, longest_exposure
from snath.quantities.message import Message

SURELY = 3.0  # standard uncertainties of a slope over the rows
DOUBT = 0.1  # share by which a readout time that is told may be off, at most; common practice, no source
AGAINST = 0.5  # share of the heaviest weight that must be left: a shutter chooses between folds, not against pictures
HELD = 0.5  # least share of the flicker explained in any stretch: less, and the mark was lost on the way
SMEARED, UNLIKE = Message("film.smeared"), Message("film.rows-unlike")
SILENT, NARROWED = Message("film.rows-silent"), Message("film.rows-narrowed")


def by_exposure(
    likely: list[Likely], *, marks: int, exposure_s: float | None
) -> tuple[list[Likely], tuple[Message, ...]]:
    """The rates at which the mark would not have smeared wider than it is seen; all, where none that weighs is left.

    Parameters
    ----------
    likely : list of Likely
        Rates that may be right.
    marks : int
        Alike marks round the part. [1]
    exposure_s : float or None
        How long each row was open; None where nobody told. [s]

    Returns
    -------
    list of Likely
        Those left; their weights share out what the others had.
    tuple of str
        What to know besides.
    """
    if exposure_s is None:
        return likely, ()
    left = _shared(likely, [exposure_s <= longest_exposure(one.fit, marks=marks) for one in likely])
    return (left, ()) if left else (likely, (SMEARED,))


def by_rows(
    likely: list[Likely], cells: Any, at: Any, *, rate: float, marks: int, noise: float, shutter: Shutter
) -> tuple[list[Likely], bool, tuple[Message, ...]]:
    """What the rows of the picture leave of the rates.

    Parameters
    ----------
    likely : list of Likely
        Rates that may be right.
    cells : ndarray, shape (n, rows, columns)
        Brightness in each frame. [any]
    at : ndarray, shape (k,)
        Which cells flicker, counted row by row. [1]
    rate : float
        Frames a second. [1/s]
    marks : int
        Alike marks round the part. [1]
    noise : float
        Sum of squares that noise alone brings into the courses of brightness. [any]
    shutter : Shutter
        What is known of how the pictures were taken.

    Returns
    -------
    list of Likely
        Those left, with what the rows say; their weights share out what the others had.
    bool
        Whether what is left may be decided on: not where rows contradict the readout time that was told, nor where
        they ruled out others and none was told.
    tuple of str
        What to know besides.
    """
    told = shutter.readout_s is not None
    if len(likely) < 2 and not told:
        return likely, True, ()
    seen = [replace(one, rows=_rows(one, cells, at, rate, marks, noise, shutter)) for one in likely]
    if told and all(one.rows is None for one in seen):
        return seen, True, (SILENT,) if len(seen) > 1 else ()
    left = _shared(seen, [_possible(one, rate=rate, readout_s=shutter.readout_s) for one in seen])
    if not left:
        return seen, not told, (UNLIKE,) if told else ()
    if len(left) == len(seen):
        return left, True, ()
    return left, told, () if told else (NARROWED,)


def _shared(likely: Any, possible: Any) -> list[Likely]:
    """Those that are possible, sharing out the weight of the others; none, where that speaks against the pictures."""
    left = [one for one, may_be in zip(likely, possible, strict=True) if may_be]
    if max((one.weight for one in left), default=0.0) < AGAINST * max(one.weight for one in likely):
        return []
    kept = 1 - sum(one.weight for one, may_be in zip(likely, possible, strict=True) if not may_be)
    return [replace(one, weight=one.weight / kept) for one in left]


def _rows(
    one: Likely, cells: Any, at: Any, rate: Any, marks: Any, noise: Any, shutter: Shutter
) -> RowSlope | None:
    """What the rows say with one rate: nothing where the mark was lost, or a flash may be seen in another order.

    Where q times the rate is a multiple of the frame rate, its harmonics of order q - 1 and q + 1 look like the first.
    A mark goes round with one of them only; a flash has no place to tell by.
    """
    order = np.arange(2, HARMONICS + 2) * one.fit.rate / rate
    if shutter.lit_at_once and (np.abs(order - np.rint(order)) * rate < ALIKE).any():
        return None
    if explained(one.fit, noise=noise) < EXPLAINED or least_explained(one.fit, noise=noise) < HELD:
        return None
    return row_slope(cells, at, phase=one.fit.phase, marks=marks, lit_at_once=shutter.lit_at_once)


def _possible(one: Likely, *, rate: Any, readout_s: Any) -> bool:
    """Whether rows can have been read so that this rate gives the slope that is seen."""
    if one.rows is None:
        return True
    reach = SURELY * one.rows.u + one.rows.view
    if readout_s is None:
        return bool(abs(one.rows.slope) <= LATE * one.fit.rate / rate + reach)
    meant = one.fit.rate * readout_s
    return bool(abs(one.rows.slope - meant) <= DOUBT * abs(meant) + reach)
