"""Hold what is known of how the pictures were taken, and the speeds a long exposure leaves."""

from dataclasses import dataclass

from snath.formulas.signals.film.fit import FlickerFit
from snath.quantities.errors import InputError, within
from snath.quantities.message import Message

SMEARED, LEAST_WIDTH = (
    1.2,
    0.02,
)  # times its width, and turns besides, by which a mark may have smeared unseen
LATE = 1.1  # frame times in which all rows are read: the next picture needs them again, and frames come a little uneven


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


def checked(shutter: Shutter, *, rate: float) -> Shutter:
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
            raise InputError("readout", "0 ms", Message("film.no-readout"))
    return shutter


def late_by(shutter: Shutter, *, place: tuple[float, ...]) -> float:
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


def longest_exposure(fit: FlickerFit, *, marks: int) -> float:
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
