"""Give the probability that a measured quantity is on the wrong side of a limit.

The quantity's state of knowledge is a scaled t distribution with the budget's effective degrees of freedom,
the normal distribution where those are infinite (JCGM 106:2012, clauses 7.2 to 7.4, from memory).
"""

import math
from types import ModuleType
from typing import Any

from snath.formulas.normal import share_below
from snath.quantities.errors import within

RISK = 0.05  # of a wrong pass, the promise the looks share
# Shares of it; the looks of one sample lean on one another, so they may add up to over 1.
FIRST_LOOK, LATER_LOOK = 0.5, 0.05
NEARLY_NORMAL = 1e-6  # of the normal quantile; a t quantile nearer to it than that is taken for it
OTHER_SAMPLE = 0.25  # the first look at a sample where another one was looked at before
# Quantiles of the normal distribution at the decision rules' probabilities: a quick answer needs no other, and loading
# the special functions takes longer than the answer.
NORMAL_QUANTILES = {0.5: 0.0, 0.95: 1.6448536269514722, 0.975: 1.959963984540054}


def probability_over(*, value: float, u: float, limit: float, dof: float = math.inf) -> float:
    """Probability that the true value lies above an upper limit.

    Parameters
    ----------
    value, limit : float
        Best estimate and limit, in the same unit, -1e300 to 1e300. [any]
    u : float
        Standard uncertainty of `value` less `limit`, 0 or more. [same unit]
    dof : float, optional
        Effective degrees of freedom, 1 or more; infinite by default. [1]

    Returns
    -------
    float
        0 to 1. With `u` zero it is 1 above the limit and 0 on it or below: limits are closed. [1]

    Raises
    ------
    InputError
        If an argument is not a number in its range.

    References
    ----------
    .. [1] JCGM 106:2012, 7.3.3, one-sided upper tolerance limit (from memory).
    """
    value, u, dof = _checked(value, u, dof)
    limit = within("limit", limit, -1e300, 1e300)
    if u == 0:
        return 1.0 if value > limit else 0.0
    return _cumulative((value - limit) / u, dof)


def coverage_factor(*, probability: float, dof: float = math.inf) -> float:
    """How many standard uncertainties cover a one-sided probability.

    Parameters
    ----------
    probability : float
        One-sided, 0.5 up to but not 1. [1]
    dof : float, optional
        Effective degrees of freedom, 1 or more; not cut to a whole number, the t distribution is
        taken between them. [1]

    Returns
    -------
    float
        The quantile. [1]

    Raises
    ------
    InputError
        If an argument is not a number in its range.

    References
    ----------
    .. [1] JCGM 100:2008, G.3 and G.4 (from memory).
    """
    probability = within("probability", probability, 0.5, 1, open_high=True)
    dof = _degrees(dof)
    if math.isinf(dof) and probability in NORMAL_QUANTILES:
        return NORMAL_QUANTILES[probability]
    special = _special()
    return float(special.ndtri(probability) if math.isinf(dof) else special.stdtrit(dof, probability))


def effective_dof(parts: Any) -> float:
    """Degrees of freedom of a sum, such that its guard is that of its parts, added in squares.

    Parameters
    ----------
    parts : sequence of (float, float or None)
        Standard uncertainty and degrees of freedom of each part, None where it is taken as known. [any, 1]

    Returns
    -------
    float
        1 or more; infinite where no part's are counted. [1]

    Notes
    -----
    Welch and Satterthwaite's formula (JCGM 100:2008, G.4.1, from memory) gives a smaller guard than that: where a
    single reading's scatter, two degrees of freedom, meets a tape's ± of its size, t falls by more than the standard
    uncertainty grows, so that more doubt would ask for less room. Counted by `python -m benchmarks situations`, up to
    8.8 % of machines on a limit passed by it; added in squares the promise of 5 % is kept.
    """
    counted = [(u, max(dof, 1.0)) for u, dof in parts if dof is not None and u != 0]
    if not counted:
        return math.inf
    total = math.fsum(u**2 for u, _ in parts)
    special = _special()
    normal = float(special.ndtri(1 - RISK))
    over = math.fsum(u**2 * (float(special.stdtrit(dof, 1 - RISK)) ** 2 - normal**2) for u, dof in counted)
    quantile = math.sqrt(normal**2 + over / total)
    if quantile < normal * (1 + NEARLY_NORMAL):
        return math.inf
    return max(float(special.stdtridf(1 - RISK, quantile)), 1.0)


def look_factor(*, looks: int, dof: float, first: bool = True) -> float:
    """How much wider scatter counts because somebody may stop at the first look that pleases.

    Each look may be wrong with a share of the risk: `FIRST_LOOK` at the first, `LATER_LOOK` at every later one, and
    `OTHER_SAMPLE` at the first one of a further sample, by another instrument or at another place. The shares are
    ours, found by counting (`python -m benchmarks looks`): with an assumed scatter of 15 rpm that is worth two
    readings, at most 5 % of those who stop at the first pass within ten looks pass with the truth on the limit, for a
    true scatter of 1 to 30 rpm.

    Parameters
    ----------
    looks : int
        Readings in the sample, 1 or more. [1]
    dof : float
        Degrees of freedom of their scatter, 1 or more. [1]
    first : bool, optional
        Whether no other sample was looked at before.

    Returns
    -------
    float
        The factor on the standard uncertainty, over 1. [1]

    Raises
    ------
    InputError
        If an argument is not a number in its range.

    References
    ----------
    .. [1] P. Armitage, C. K. McPherson and B. C. Rowe, Repeated significance tests on accumulating data, 1969
       (from memory): why a test repeated at one level is wrong more often than that level.
    """
    looks = within("looks", looks, 1, 1e6)
    share = LATER_LOOK if looks > 1 else FIRST_LOOK if first else OTHER_SAMPLE
    spent, whole = (coverage_factor(probability=1 - RISK * part, dof=dof) for part in (share, 1))
    return spent / whole


def _checked(value: Any, u: Any, dof: Any) -> Any:
    value = within("value", value, -1e300, 1e300)
    return value, within("u", u, 0, 1e300), _degrees(dof)


def _degrees(dof: Any) -> Any:
    return dof if dof == math.inf else within("dof", dof, 1, 1e300)


def _cumulative(z: float, dof: float) -> float:
    return share_below(z) if math.isinf(dof) else float(_special().stdtr(dof, z))


def _special() -> ModuleType:
    """The special functions, loaded where degrees of freedom were counted: it takes longer than a first answer."""
    import scipy.special

    return scipy.special  # type: ignore[no-any-return]
