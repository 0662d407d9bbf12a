"""Give the uncertainty of the mean speed that one rate of a film stands for.

Every row is late by the same time in each picture, and that leaves rates alone. But a camera that changes its exposure
moves the middle of it, and a picture that moves by a row of cells is seen that much earlier or later.
"""

import numpy as np

from snath.formulas.signals.candidates import Track
from snath.formulas.signals.film.fit import FlickerFit
from snath.formulas.signals.film.shutter import Shutter, late_by, longest_exposure
from snath.formulas.signals.steadiness import wander
from snath.quantities.measured import Line, Measured
from snath.quantities.message import Message

CLOCK = 75e-6  # share by which a phone's clock may be off, standard uncertainty
CYCLE_JITTER = 0.005  # share by which one working cycle may differ from the next; common practice, no source
MOVED = 0.25  # exposures by which their middle moves when they are halved; by hand


def steady_speed(
    fit: FlickerFit, *, marks: int, rate: float, rows: int, place: tuple[float, ...], shutter: Shutter
) -> tuple[Measured, Track]:
    """Mean speed with its budget, and the speed stretch by stretch.

    Parameters
    ----------
    fit : FlickerFit
        One rate, followed through the film.
    marks : int
        Alike marks round the part. [1]
    rate : float
        Frames a second. [1/s]
    rows : int
        Rows of cells in a picture. [1]
    place : tuple of float
        Row and column of what flickers, as shares of the picture. [1]
    shutter : Shutter
        What is known of how the pictures were taken.

    Returns
    -------
    Measured
        [rev/s]
    Track
        Speeds of tenths of a second, each as doubtful as their mean, at the times at which the rows were open. [rev/s]
    """
    length = float(fit.t_s[-1] - fit.t_s[0])
    edges = np.linspace(fit.t_s[0], fit.t_s[-1], max(int(length / 0.1), 4) + 1)
    pace = np.diff(np.interp(edges, fit.t_s, fit.phase)) / np.diff(edges) / marks
    middle = (edges[1:] + edges[:-1]) / 2
    speed = fit.rate / marks
    cycles = max(speed * length / 2, 1.0)
    exposure = shutter.exposure_s or min(longest_exposure(fit, marks=marks), 1 / rate)
    row = abs(shutter.readout_s or 1 / rate) / rows
    lines = (
        Line(Message("budget.clock"), speed * CLOCK),
        Line(Message("budget.wander"), max(wander(middle, pace), speed * CYCLE_JITTER / cycles**0.5)),
        Line(Message("budget.light-noise"), 2**0.5 * fit.phase_u / length / marks),
        Line(
            Message("budget.light-exposure"),
            speed * MOVED * exposure / length / 3**0.5,
            None,
            "rectangular",
        ),
        Line(
            Message("budget.light-readout"),
            speed * row / length / 3**0.5,
            None,
            "rectangular",
        ),
    )
    steady = Measured(speed, lines)
    at = middle + late_by(shutter, place=place)
    return steady, Track("crankshaft", tuple(at), tuple(pace), tuple(np.full(len(pace), steady.u)))
