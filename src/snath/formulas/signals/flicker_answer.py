"""What is left of the rates that fit a film: one speed, several that look the same, or a part that seems to stand?"""

import numpy as np

from snath.formulas.signals.candidates import Candidate
from snath.formulas.signals.flicker_budget import steady_speed
from snath.formulas.signals.flicker_fit import FlickerFit
from snath.formulas.signals.light_result import MOST, LightResult

CLEARLY = 0.5  # from here a mark counts as seen to go round
ROUND = 60.0  # what not going round with it costs a fit, as twice a log-likelihood
LEAST_WEIGHT = 1e-3
DECIDING = 0.99  # least weight of the one that is decided on
EXPLAINED = 0.7  # least share of the flicker that a speed must explain
NEAR_FOLD = 3.0  # times one over the length: closer than this to a fold, a part seems to stand or to jump


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


def answer(fits, *, rate, marks, total, noise, even, place, angle) -> LightResult:
    """The rates that are left, weighed, and whether they leave one speed.

    Parameters
    ----------
    fits : list of FlickerFit
        Those that are left, at least one.
    rate : float
        Frames a second. [1/s]
    marks : int
        Alike marks round the part. [1]
    total, noise : float
        Sum of squares of what flickers, and what of it noise alone brings. [any], [any]
    even : bool
        Whether the frames came evenly.
    place : tuple of float
        Row and column of what flickers, as shares of the picture. [1]
    angle : ndarray, shape (n,)
        Where each frame's brightness stands out most. [turn]

    Returns
    -------
    LightResult
        With `decided` False where several speeds would look the same.
    """
    length = float(fits[0].t_s[-1] - fits[0].t_s[0])
    seen = np.array([_round_and_round(fit, angle) for fit in fits])
    costs = np.array([cost(fit) for fit in fits]) + ROUND * (seen.max() - seen) * (seen.max() > CLEARLY)
    weight = np.exp(-(costs - costs.min()) / 2)
    weight /= weight.sum()
    fitting = [i for i in np.argsort(-weight, kind="stable") if weight[i] > LEAST_WEIGHT]
    order = fitting[:MOST]
    best = fits[order[0]]
    steady, track = steady_speed(best, marks=marks)
    candidates = tuple(
        Candidate(
            fits[i].rate / marks,
            steady.u * fits[i].rate / best.rate,
            float(weight[i]),
            _alias(fits[i].rate, rate),
            f"leaves {max(fits[i].left - noise, 0.0) / total:.1%} of the flicker unexplained",
        )
        for i in order
    )
    explained = min(max(1 - (best.left - noise) / total, 0.0), 1.0)
    apparent = abs((best.rate + rate / 2) % rate - rate / 2)
    on_fold = even and min(apparent, rate / 2 - apparent) < NEAR_FOLD / length
    notes = []
    if explained < EXPLAINED:
        notes.append("most of what flickers does not repeat; film from a stand, closer, in even light")
    if on_fold:
        notes.append(
            "the part seems to stand or to jump between two places: too near a multiple of the frame rate"
        )
    if even and len(candidates) > 1:
        notes.append("the frames came evenly, so these speeds look the same")
    if len(fitting) > MOST:
        notes.append(f"{len(fitting) - MOST} more speeds of the range would look the same too")
    pace = np.array(track.rev_s)
    return LightResult(
        candidates=candidates,
        decided=bool(weight.max() >= DECIDING and explained >= EXPLAINED and not on_fold),
        steady=steady,
        track=track,
        frame_rate=rate,
        even=bool(even),
        place=place,
        explained=float(explained),
        low=float(pace.min()),
        high=float(pace.max()),
        drift=float(np.polyfit(track.t_s, pace, 1)[0]) if len(pace) > 2 else 0.0,
        duration=length,
        notes=tuple(notes),
    )


def _alias(frequency, rate) -> str:
    """Which fold of the frame rate a rate lies in, as the mark's apparent motion shows it."""
    multiple = round(frequency / rate)
    rest = frequency - multiple * rate
    if multiple == 0:
        return "mark, as filmed"
    return f"mark, {multiple} x the frame rate {'+' if rest >= 0 else '-'} {abs(rest):.2f}/s"


def seems_to_stand(*, rate, marks, low, high, length) -> LightResult:
    """Nothing flickers: it stands, or turns at a multiple of the frame rate.

    Parameters
    ----------
    rate : float
        Frames a second. [1/s]
    marks : int
        Alike marks round the part. [1]
    low, high : float
        Range of the repetition rate. [Hz]
    length : float
        Length of the film. [s]

    Returns
    -------
    LightResult
        Undecided, with the multiples that lie in the range.
    """
    speeds = [k * rate / marks for k in range(1, int(high / rate) + 1) if k * rate >= low][:MOST]
    candidates = tuple(
        Candidate(
            speed,
            0.5 / length,
            1 / (len(speeds) + 1),
            f"mark, {round(speed * marks / rate)} x the frame rate",
            "",
        )
        for speed in speeds
    )
    return LightResult(
        candidates,
        False,
        frame_rate=rate,
        duration=length,
        notes=(
            "nothing flickers: the part stands, or turns at a multiple of the frame rate and looks as if it stood",
        ),
    )
