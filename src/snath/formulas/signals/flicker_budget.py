"""How sure is the mean speed that one rate of a film stands for?"""

import numpy as np

from snath.formulas.signals.candidates import Track
from snath.formulas.signals.flicker_fit import FlickerFit
from snath.formulas.signals.steadiness import wander
from snath.quantities.measured import Line, Measured

CLOCK = 75e-6  # share by which a phone's clock may be off, standard uncertainty
CYCLE_JITTER = 0.005  # share by which one working cycle may differ from the next; common practice, no source


def steady_speed(fit: FlickerFit, *, marks) -> tuple[Measured, Track]:
    """Mean speed with its budget, and the speed stretch by stretch.

    Parameters
    ----------
    fit : FlickerFit
        One rate, followed through the film.
    marks : int
        Alike marks round the part. [1]

    Returns
    -------
    Measured
        [rev/s]
    Track
        Speeds of tenths of a second, each as doubtful as their mean. [rev/s]
    """
    length = float(fit.t_s[-1] - fit.t_s[0])
    edges = np.linspace(fit.t_s[0], fit.t_s[-1], max(int(length / 0.1), 4) + 1)
    pace = np.diff(np.interp(edges, fit.t_s, fit.phase)) / np.diff(edges) / marks
    middle = (edges[1:] + edges[:-1]) / 2
    speed = fit.rate / marks
    cycles = max(speed * length / 2, 1.0)
    lines = (
        Line("phone clock", speed * CLOCK),
        Line("cycle jitter and wander", max(wander(middle, pace), speed * CYCLE_JITTER / cycles**0.5)),
        Line("light: noise of the pictures", 2**0.5 * fit.phase_u / length / marks),
    )
    steady = Measured(speed, lines)
    return steady, Track("crankshaft", tuple(middle), tuple(pace), tuple(np.full(len(pace), steady.u)))
