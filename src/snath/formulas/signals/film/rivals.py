"""How likely is each of the rates that fit a film?"""

from dataclasses import dataclass

import numpy as np

from snath.formulas.signals.film.fit import FlickerFit
from snath.formulas.signals.film.rows import RowSlope

CLEARLY = 0.5  # from here a mark counts as seen to go round
ROUND = 60.0  # what not going round with it costs a fit, as twice a log-likelihood
LEAST_WEIGHT = 1e-3
EXPLAINED = 0.7  # least share of the flicker that a speed must explain


@dataclass(frozen=True, slots=True)
class Likely:
    """A rate that may be the right one.

    Attributes
    ----------
    fit : FlickerFit
        The rate, followed through the film.
    weight : float
        Share of belief, 0 to 1.
    rows : RowSlope or None
        What the rows of the picture say with it; None where they were not looked at or say nothing.
    """

    fit: FlickerFit
    weight: float
    rows: RowSlope | None = None


def cost(fit: FlickerFit) -> float:
    """Bayesian information criterion of one course, up to a constant (from memory: Schwarz 1978).

    Parameters
    ----------
    fit : FlickerFit
        One rate, followed through the film.

    Returns
    -------
    float
        Lower is likelier; twice a log-likelihood. [1]
    """
    frames = len(fit.t_s)
    return float(frames * np.log(fit.left + 1e-12) + fit.rank * np.log(frames))


def _round_and_round(fit: FlickerFit, angle) -> float:
    """How far the mark is seen to go round with a fit, 0 to 1, whichever way it turns.

    Near a simple fraction of the frame rate other rates explain the same pictures in another order; only
    the places of the mark tell which order goes round.
    """
    both = (np.exp(2j * np.pi * (angle + sense * fit.phase)).mean() for sense in (1, -1))
    return float(max(abs(one) for one in both))


def weighed(fits, *, angle) -> list[Likely]:
    """The rates that keep any weight, likeliest first.

    Parameters
    ----------
    fits : list of FlickerFit
        At least one.
    angle : ndarray, shape (n,)
        Where each frame's brightness stands out most. [turn]

    Returns
    -------
    list of Likely
        Weights as shares of all that were handed over.
    """
    seen = np.array([_round_and_round(fit, angle) for fit in fits])
    costs = np.array([cost(fit) for fit in fits]) + ROUND * (seen.max() - seen) * (seen.max() > CLEARLY)
    weight = np.exp(-(costs - costs.min()) / 2)
    weight /= weight.sum()
    return [
        Likely(fits[i], float(weight[i]))
        for i in np.argsort(-weight, kind="stable")
        if weight[i] > LEAST_WEIGHT
    ]
