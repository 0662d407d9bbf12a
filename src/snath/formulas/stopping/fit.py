"""Fit friction laws to a run-down, and give the times of standstill they allow.

The moment of standstill is itself a fitted value. Its interval holds every moment at which some mix of dry
friction, oil drag and windage still agrees with the curve (profile likelihood), so that a track that ends
early gives a wide interval, not a bold guess. Equations: docs/stopping.md.
"""

import math
from dataclasses import dataclass
from typing import Any

from snath.formulas.stopping.curve import Curve, LawFit

LAWS = {  # which of dry, viscous, windage take part; simplest first
    "dry friction": (True, False, False),
    "dry friction and oil": (True, True, False),
    "dry friction and air": (True, False, True),
    "all three": (True, True, True),
}
FULL = "all three"


@dataclass(frozen=True, slots=True)
class RunDown:
    """What a run-down curve says of the moment of standstill, on the track's clock.

    Attributes
    ----------
    standstill : float
        Most likely, under the simplest law that fits. [s]
    earliest, latest : float
        Ends of the 95 % interval over all laws that fit; the second is infinite where one without dry
        friction fits as well. [s]
    laws : tuple of LawFit
        Simplest first.
    understood : bool
        False where not even all three terms describe the curve: no interval then means anything.
    lowest_seen : float
        Slowest speed on the track over its speed at the start. [1]
    smoothed : bool
        Whether the points scatter so much less than they are said to that they were drawn from one curve, as
        the speed heard in a run-down is. Their doubt is then a common one, which the interval does not hold.
    """

    standstill: float
    earliest: float
    latest: float
    laws: tuple[LawFit, ...]
    understood: bool
    lowest_seen: float
    smoothed: bool = False


def fit_run_down(*, t: Any, rotation: Any, u: Any) -> RunDown:
    """Fit the falling part of a run-down.

    Parameters
    ----------
    t : array_like [shape=(n,)]
        Times, rising, at least 8. [s]
    rotation : array_like [shape=(n,)]
        Speed, over 0 and up to 500. [rev/s]
    u : array_like
        Standard uncertainty of the points, over 0 and up to 50. [rev/s]

    Returns
    -------
    RunDown

    Raises
    ------
    InputError
        If there are too few points, times do not rise, or speed does not fall.

    References
    ----------
    .. [1] Profile likelihood, Wilks 1938 (from memory); docs/stopping.md.
    """
    curve = Curve(t, rotation, u)
    fits = {law: curve.best(terms) for law, terms in LAWS.items()}
    full = fits[FULL]
    curve.settle_noise(full)
    least = curve.loss(full)
    laws = tuple(curve.described(law, LAWS[law], fit, least) for law, fit in fits.items())
    chosen = next(law for law in laws if law.fits)
    return RunDown(
        standstill=chosen.standstill,
        earliest=min(curve.edge(full, least, sign=-1), chosen.standstill),
        latest=math.inf
        if curve.may_never_stop(least)
        else max(curve.edge(full, least, sign=+1), chosen.standstill),
        laws=laws,
        understood=bool(curve.noise_ratio <= curve.ratio_allowed),
        lowest_seen=float(curve.speed.min() / curve.speed[0]),
        smoothed=bool(curve.smoothed),
    )
