"""Which of the speeds that look alike can this shutter have filmed: how long rows were open, and when each was read?"""

from dataclasses import dataclass, replace

from snath.formulas.signals.flicker_fit import FlickerFit
from snath.formulas.signals.flicker_rows import row_slope
from snath.formulas.signals.flicker_weights import Likely
from snath.quantities.errors import InputError, within

SMEARED, LEAST_WIDTH = (
    1.2,
    0.02,
)  # times its width, and turns besides, by which a mark may have smeared unseen
SURELY = 3.0  # standard uncertainties of a slope over the rows
DOUBT = (
    0.1  # share by which a readout time that somebody tells may be off, at most; common practice, no source
)
LATE = 1.1  # frame times in which all rows are read: the next picture needs them again, and frames come a little uneven
UNLIKE = (
    "the rows fit none of these speeds at the readout time given: look it up again, and film with nothing that turns, "
    "crops or steadies the picture"
)
SILENT = (
    "the rows tell nothing here: the mark must be seen all round, from ahead, and in more than a few places"
)
NARROWED = (
    "the rows rule out other speeds, but without their readout time too little is known to decide by them"
)


@dataclass(frozen=True, slots=True)
class Shutter:
    """What somebody knows of how the pictures were taken.

    Attributes
    ----------
    exposure_s : float or None
        How long each row was open. [s]
    readout_s : float or None
        How much later the last row is taken than the first; less than nought where the last comes first. [s]
    lit_at_once : bool
        Whether what flickers stands still and is lit by a flash, rather than a mark that travels.
    """

    exposure_s: float | None = None
    readout_s: float | None = None
    lit_at_once: bool = False


def checked(shutter: Shutter, *, rate) -> Shutter:
    """The same, if a film can have been taken so.

    Parameters
    ----------
    shutter : Shutter
        As told.
    rate : float
        Frames a second. [1/s]

    Returns
    -------
    Shutter
        As given.

    Raises
    ------
    InputError
        If the exposure is not over 0 and up to 10 s, or the rows take no time or longer than a picture.
    """
    if shutter.exposure_s is not None:
        within("exposure", shutter.exposure_s, 0, 10, "s", open_low=True)
    if shutter.readout_s is not None:
        most = 1000 * LATE / rate
        told = within("readout", 1000 * shutter.readout_s, -most, most, "ms")
        if not told:
            raise InputError(
                "readout", "0 ms", "must be over 0, or left out where all rows are taken at once"
            )
    return shutter


def late_by(shutter: Shutter, *, place) -> float:
    """How long after a picture's stamp the middle of a region was open on the average.

    Parameters
    ----------
    shutter : Shutter
        What is known; what is not counts as nought.
    place : tuple of float
        Row and column, as shares of the picture. [1]

    Returns
    -------
    float
        [s]
    """
    readout = shutter.readout_s or 0.0
    row = place[0] if readout >= 0 else 1 - place[0]
    return float(abs(readout) * row + (shutter.exposure_s or 0.0) / 2)


def longest_exposure(fit: FlickerFit, *, marks) -> float:
    """Longest exposure that would not have smeared the mark wider than it is seen.

    Parameters
    ----------
    fit : FlickerFit
        A rate, and the width of the mark with it.
    marks : int
        Alike marks round the part. [1]

    Returns
    -------
    float
        [s]
    """
    return float((SMEARED * fit.width + LEAST_WIDTH * marks) / fit.rate)


def sharp(fits, *, marks, exposure_s) -> list[FlickerFit]:
    """The rates at which the mark would not have smeared wider than it is seen; all, where none is left.

    Parameters
    ----------
    fits : list of FlickerFit
        Rates that fit.
    marks : int
        Alike marks round the part. [1]
    exposure_s : float or None
        How long each row was open. [s]

    Returns
    -------
    list of FlickerFit
        In the same order.
    """
    if exposure_s is None:
        return list(fits)
    left = [fit for fit in fits if exposure_s <= longest_exposure(fit, marks=marks)]
    return left or list(fits)


def by_rows(likely, cells, at, *, rate, marks, shutter) -> tuple[list[Likely], bool, tuple[str, ...]]:
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
    shutter : Shutter
        What is known of how the pictures were taken.

    Returns
    -------
    list of Likely
        Those left, with what the rows say; their weights share out what the others had.
    bool
        Whether rows ruled others out.
    tuple of str
        What to know besides.
    """
    told = shutter.readout_s is not None
    if len(likely) < 2 and not told:
        return likely, False, ()
    seen = [
        replace(
            one,
            rows=row_slope(cells, at, phase=one.fit.phase, marks=marks, lit_at_once=shutter.lit_at_once),
        )
        for one in likely
    ]
    if told and all(one.rows is None for one in seen):
        return seen, False, (SILENT,) if len(seen) > 1 else ()
    left = [one for one in seen if _possible(one, rate=rate, readout_s=shutter.readout_s)]
    if not left:
        return seen, True, (UNLIKE,)
    lost = sum(one.weight for one in seen) - sum(one.weight for one in left)
    ruled_out = len(left) < len(seen)
    left = [replace(one, weight=one.weight / (1 - lost)) for one in left] if ruled_out else left
    return left, ruled_out, (NARROWED,) if ruled_out and not told else ()


def _possible(one: Likely, *, rate, readout_s) -> bool:
    """Whether rows can have been read so that this rate gives the slope that is seen."""
    if one.rows is None:
        return True
    reach = SURELY * one.rows.u + one.rows.view
    if readout_s is None:
        return bool(abs(one.rows.slope) <= LATE * one.fit.rate / rate + reach)
    meant = one.fit.rate * readout_s
    return bool(abs(one.rows.slope - meant) <= DOUBT * abs(meant) + reach)
