"""Evaluate the sound along one course of speed: how fast, how evenly, and which multiples fit."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from snath.formulas.signals.ranks import quantile
from snath.formulas.signals.sound_blade import sharpened
from snath.formulas.signals.sound_explained import KEPT, LITTLE
from snath.formulas.signals.sound_follow import Followed, follow
from snath.formulas.signals.sound_frames import beside, frames_say
from snath.formulas.signals.sound_judge import HOPELESS, judged
from snath.formulas.signals.sound_mean import Held, held
from snath.formulas.signals.sound_plan import Plan
from snath.formulas.signals.sound_rival import rival_heard
from snath.formulas.signals.sound_search import HOP, Search
from snath.formulas.signals.sound_second import CLEAR, known_spans, strays

PART = 6.0  # longest stretch followed in one go [s]
ROUGH, ROUGH_MEAN = 0.004, 0.002  # standard uncertainty of a frame and of a mean that could not be followed
AUDIBLE = 6.0  # least evidence of a frame that is shown [nat]
USUAL_OFF = 0.006  # four in five frames agree with the fine track so well where it is right
HALF = 0.5  # share of the time that the fine track must confirm
CHANCE = 400.0  # what chance may explain along a course [nat]
UNHEARD = 0.0  # evidence under which silence explains the cycles better than any multiple [nat]
IN_DOUBT = 10.0  # evidence that chance alone brings, so that nothing is decided by it [nat]
LOST = 0.03  # the same difference from which the fine track is taken for lost, and the rough one kept
SLIPPED = 0.008  # difference between rough and fine mean that betrays a lost turn


@dataclass(frozen=True, slots=True)
class Heard:
    """What one stretch says, all as if the tracked speed were the engine's.

    Attributes
    ----------
    t, speed, u : ndarray, shape (frames,)
        Track. [s], [rev/s], [rev/s]
    audible : ndarray of bool, shape (frames,)
        Where it can be trusted.
    evidence : dict of float to float
        Of each multiple of the track. [nat]
    start, end : float
        Where the engine runs. [s]
    mean, u_noise : float
        Mean speed there and its uncertainty from noise. [rev/s]
    jitter : float
        Of a cycle's length, as a share.
    ratio : dict of float to (float, float)
        Driven over engine speed and its uncertainty, for each multiple at which one was heard.
    released : float or None
        When the firing stopped. [s]
    unlike : dict of float to float
        Log odds that unlike cylinders at a multiple make the lines of half of it. [nat]
    worth : float
        What one comb along the track explains beside noise, where it was followed finely. [nat]
    least : float
        Share of its usual power that the least explained stretch of the comb shows. [1]
    lost : bool
        Whether the fine track was lost somewhere, so that nothing can be decided by it.
    in_step : bool
        Whether the lines keep step with the cycle as an engine's do, so that something can be decided by them.
    second : bool
        Whether lines stand out that are neither the engine's nor of what it drives.
    """

    t: NDArray[np.float64]
    speed: NDArray[np.float64]
    u: NDArray[np.float64]
    audible: NDArray[np.bool_]
    evidence: dict[float, float]
    start: float
    end: float
    mean: float
    u_noise: float
    jitter: float
    ratio: dict[float, tuple[float, float]]
    released: float | None
    unlike: dict[float, float] = field(default_factory=dict)
    worth: float = 0.0
    least: float = 1.0
    lost: bool = False
    in_step: bool = True
    second: bool = False


def examined(
    x: NDArray[Any],
    rate: float,
    plan: Plan,
    found: Search,
    span: tuple[int, int, float | None],
    mains: float | None,
) -> Heard:
    """What the sound says along one track.

    Parameters
    ----------
    x : ndarray, shape (n,)
        Sound. [any]
    rate : float
        Its rate. [1/s]
    plan : Plan
        What to listen for.
    found : Search
        The rough track.
    span : tuple of (int, int, float or None)
        Frames in which the engine fires, first and one past the last, and when it was released. [1], [1], [s]
    mains : float or None
        Mains whose hum is heard. [Hz]

    Returns
    -------
    Heard
        As if the tracked speed were the engine's.
    """
    first, last, released = span
    stretch = found.cut(first, last)
    start = max(0.0, stretch.t[0] - HOP / 2)
    end = min(len(x) / rate, stretch.t[-1] + HOP / 2) if last < len(found.t) else len(x) / rate
    extra = beside(stretch)
    speed, u = found.speed.copy(), np.maximum(ROUGH * found.speed, 1e-6)
    evidence: dict[float, float] = {}
    ratio: dict[float, tuple[float, float]] = {}
    unlike: dict[float, list[float]] = {}
    means: list[tuple[float, Held]] = []
    parts: list[Followed] = []
    lost, in_step, worth, least, second = False, True, 0.0, 1.0, False
    for begin, stop in _parts(start, end):
        inside = (found.t >= begin) & (found.t < stop)
        at = np.flatnonzero(inside)
        if len(at) < 2:
            continue
        wide = slice(max(int(at[0]) - 1, 0), int(at[-1]) + 2)
        fine = follow(
            x, rate, found.t[wide], found.speed[wide] / plan.turns, begin, stop, plan.turns, plan.driven
        )
        parts.append(fine)
        least = min(least, fine.explained.least)
        second |= _judge(fine, rate, plan, mains, found.share, extra, evidence, ratio, unlike)
        mean = held(
            fine.t, fine.angle, fine.variance, (begin, stop), found.t[inside], fine.pace, even=fine.even
        )
        off = quantile(np.abs(found.speed[inside] / (mean.pace * plan.turns) - 1), 0.8)
        lost |= off >= LOST or fine.explained.lost
        in_step &= fine.explained.steady >= KEPT
        if abs(mean.rate * plan.turns / found.speed[inside].mean() - 1) < SLIPPED and off < LOST:
            worth += fine.explained.worth
            speed[inside] = mean.pace * plan.turns
            u[inside] = np.maximum(mean.u_pace, 1e-4) * plan.turns
            blur = max(off - USUAL_OFF, 0.0) * mean.rate / np.sqrt(4 * len(at))
            means.append((stop - begin, replace(mean, u_noise=float(np.hypot(mean.u_noise, blur)))))
    for factor, said in zip(evidence, frames_say(stretch, list(evidence)), strict=True):
        evidence[factor] += float(said)
    lost |= sum(part for part, _ in means) < HALF * (end - start) or worth < LITTLE * (end - start)
    told = in_step and not lost  # else the clock tells nothing of what stands beside it either
    evidence = _standing_out(evidence, not told, worth)
    second &= told
    if told and not second and max(evidence, key=lambda one: evidence[one], default=0.0) == 1.0:
        second = rival_heard(x, rate, parts, plan, mains)
    audible = found.heard > AUDIBLE
    audible[first:last] = True
    mean_speed, u_noise, jitter = _overall(means, plan.turns, end - start, float(stretch.speed.mean()))
    return Heard(
        found.t,
        speed,
        u,
        audible,
        evidence,
        start,
        end,
        mean_speed,
        u_noise,
        jitter,
        ratio,
        released,
        {factor: float(np.mean(odds)) for factor, odds in unlike.items() if factor in evidence},
        worth,
        least,
        lost,
        in_step,
        second,
    )


def _standing_out(evidence: dict[float, float], doubtful: bool, worth: float) -> dict[float, float]:
    """The same; only the track itself where silence explains the cycles better; in even doubt where it is."""
    best = max(evidence.values(), default=UNHEARD)
    if 1.0 in evidence and best < UNHEARD and worth < CHANCE:
        return {1.0: evidence[1.0]}
    down = max(best - IN_DOUBT, 0) if doubtful else 0
    return {factor: value - down for factor, value in evidence.items()}


def _judge(
    fine: Followed,
    rate: float,
    plan: Plan,
    mains: float | None,
    share: float,
    extra: Sequence[float],
    evidence: dict[float, float],
    ratio: dict[float, tuple[float, float]],
    unlike: dict[float, list[float]],
) -> bool:
    """Add what one part says to the evidence of each multiple, to ratios and doubts of the double; others' lines."""
    multiples, spectrum = judged(
        fine.cycles,
        fine.pace,
        share=share,
        turns=plan.turns,
        firings=plan.firings,
        low=plan.low,
        high=plan.high,
        driven=plan.driven,
        direct=plan.direct,
        top_frequency=min(2600.0, 0.42 * rate),
        extra=extra,
    )
    for one in multiples:
        evidence[one.factor] = evidence.get(one.factor, 0.0) + one.evidence
        if one.unlike is not None:
            unlike.setdefault(one.factor, []).append(one.unlike)
        hopeless = one.evidence < multiples[0].evidence - HOPELESS
        if one.ratio is not None and one.ratio_evidence > 3 and one.factor not in ratio and not hopeless:
            sharp = sharpened(spectrum, one.factor * plan.turns, one.ratio, plan.driven[0].tips)
            if sharp is not None:
                ratio[one.factor] = sharp
    return strays(spectrum, known_spans(plan.driven, plan.turns, mains, fine.pace)) > CLEAR


def _overall(
    means: list[tuple[float, Held]], turns: int, length: float, rough: float
) -> tuple[float, float, float]:
    """Mean speed [rev/s], its uncertainty from noise [rev/s] and jitter over all parts."""
    total = sum(part for part, _ in means)
    if total < 0.5 * length:
        return rough, ROUGH_MEAN * rough, 0.005
    mean = turns * sum(part * one.rate for part, one in means) / total
    noise = turns * float(np.sqrt(sum((part * one.u_noise) ** 2 for part, one in means))) / total
    return mean, noise, sum(part * one.jitter for part, one in means) / total


def _parts(start: float, end: float) -> list[tuple[float, float]]:
    """Equal parts of a stretch, none longer than `PART`."""
    count = max(1, int(np.ceil((end - start) / PART - 1e-9)))
    edges = np.linspace(start, end, count + 1)
    return list(pairwise(edges.tolist()))
