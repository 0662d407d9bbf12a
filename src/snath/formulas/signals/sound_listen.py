"""What does one stretch of sound say: where it runs, how fast, and which multiples fit?"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from snath.formulas.signals.aliases import SINGLE
from snath.formulas.signals.candidates import Driven, Orders
from snath.formulas.signals.comb import STEP, firing_pattern
from snath.formulas.signals.sound_follow import follow
from snath.formulas.signals.sound_hum import without_hum
from snath.formulas.signals.sound_judge import MULTIPLES, judged, sharpened
from snath.formulas.signals.sound_mean import Held, held
from snath.formulas.signals.sound_search import HOP, Search, search

PART = 6.0  # longest stretch followed in one go [s]
FADED = 0.5  # share of its usual evidence under which an engine no longer fires
AUDIBLE = 6.0  # least evidence of a frame that is shown [nat]
FRAME_SHARE = 0.05  # neighbouring frames and lines repeat each other
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
    mains : float or None
        Mains hum that was taken out. [Hz]
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
    mains: float | None = None


def firing_of(orders: Orders) -> tuple[int, tuple[float, ...], float, float]:
    """Turns and firings to listen for and the range of a shaft with them, also where firing is unknown."""
    if orders.cycle_turns and orders.firings:
        return orders.cycle_turns, orders.firings, orders.rev_s_low, orders.rev_s_high
    return SINGLE.cycle_turns, SINGLE.firings, orders.rev_s_low, 2 * orders.rev_s_high


def telling(driven: tuple[Driven, ...], turns: int) -> tuple[Driven, ...]:
    """Driven parts whose tones are not engine orders anyway."""
    return tuple(
        part
        for part in driven
        if part.ratio_high > part.ratio_low
        or abs(part.ratio_low * turns - round(part.ratio_low * turns)) > 0.02
    )


def listen(x, rate, orders: Orders) -> Heard:
    """Search, follow and judge up to half a minute.

    Parameters
    ----------
    x : ndarray, shape (n,)
        Sound at the working rate. [any]
    rate : float
        Its rate. [1/s]
    orders : Orders
        What to look for.

    Returns
    -------
    Heard
        What it says.
    """
    turns, firings, low, high = firing_of(orders)
    pattern = firing_pattern(cycle_turns=turns, firings=firings)
    spacing = float(np.min(np.diff((0.0, *pattern.orders))))
    driven = telling(orders.driven, turns)
    direct = tuple(part for part in orders.driven if part not in driven)
    x, mains = without_hum(x, rate)
    found = search(x, rate, low=low, high=high, pattern=pattern, spacing=spacing, driven=driven)
    first, last, released = running(found)
    stretch = found.cut(first, last)
    start = max(0.0, stretch.t[0] - HOP / 2)
    end = min(len(x) / rate, stretch.t[-1] + HOP / 2) if last < len(found.t) else len(x) / rate
    extra = _beside(stretch)
    spoiled = _spoiled(driven, turns)
    speed, u = found.speed.copy(), np.maximum(0.004 * found.speed, 1e-6)
    evidence: dict[float, float] = {}
    ratio: dict[float, tuple[float, float]] = {}
    means: list[tuple[float, Held]] = []
    for begin, stop in _parts(start, end):
        inside = (found.t >= begin) & (found.t < stop)
        if inside.sum() < 2:
            continue
        at = np.flatnonzero(inside)
        wide = slice(max(int(at[0]) - 1, 0), int(at[-1]) + 2)
        fine = follow(x, rate, found.t[wide], found.speed[wide] / turns, begin, stop, spoiled)
        multiples, spectrum = judged(
            fine.cycles,
            fine.pace,
            turns=turns,
            firings=firings,
            low=low,
            high=high,
            driven=driven,
            direct=direct,
            top_frequency=min(2200.0, 0.42 * rate),
            extra=extra,
        )
        for one in multiples:
            evidence[one.factor] = evidence.get(one.factor, 0.0) + one.evidence
            if one.ratio is not None and one.ratio_evidence > 3 and one.factor not in ratio:
                sharp = sharpened(spectrum, one.factor * turns, one.ratio, driven[0].tips)
                if sharp is not None:
                    ratio[one.factor] = sharp
        mean = held(fine.t, fine.angle, fine.variance, (begin, stop), found.t[inside], fine.pace)
        if abs(mean.rate * turns / found.speed[inside].mean() - 1) < SLIPPED:
            speed[inside] = mean.pace * turns
            u[inside] = np.maximum(mean.u_pace, 1e-4) * turns
            means.append((stop - begin, mean))
    for factor in evidence:
        evidence[factor] += _frames_say(stretch, factor)
    total = sum(length for length, _ in means)
    if total < 0.5 * (end - start):
        mean_speed, u_noise, jitter = float(stretch.speed.mean()), 0.002 * float(stretch.speed.mean()), 0.005
    else:
        mean_speed = turns * sum(length * one.rate for length, one in means) / total
        u_noise = turns * float(np.sqrt(sum((length * one.u_noise) ** 2 for length, one in means))) / total
        jitter = sum(length * one.jitter for length, one in means) / total
    audible = found.heard > AUDIBLE
    audible[first:last] = True
    return Heard(
        found.t, speed, u, audible, evidence, start, end, mean_speed, u_noise, jitter, ratio, released, mains
    )


def _spoiled(driven: tuple[Driven, ...], turns: int) -> frozenset[int]:
    """Lines of the cycle that a driven part's tone may fall on or next to."""
    lines: set[int] = set()
    for part in driven:
        for tone in (1, *(part.tips * n for n in (1, 2, 3))):
            low, high = (ratio * turns * tone for ratio in (part.ratio_low, part.ratio_high))
            lines |= set(range(int(np.floor(low - 0.3)), int(np.ceil(high + 0.3)) + 1))
    return frozenset(lines)


def _parts(start, end):
    """Equal parts of a stretch, none longer than `PART`."""
    count = max(1, int(np.ceil((end - start) / PART - 1e-9)))
    edges = np.linspace(start, end, count + 1)
    return list(pairwise(edges.tolist()))


def running(found: Search) -> tuple[int, int, float | None]:
    """Frames in which the engine fires, first and one past the last, and when it stopped."""
    n = len(found.t)
    if n < 8:
        return 0, n, None
    smooth = np.convolve(np.pad(found.heard, 1, mode="edge"), np.ones(3) / 3, "valid")
    usual = np.quantile(smooth, 0.7)
    weak = smooth < FADED * usual
    tail = n - int(np.argmin(weak[::-1])) if weak[-1] else n
    head = int(np.argmin(weak)) if weak[0] else 0
    last = tail if n - tail >= 6 and tail - head >= 5 else n
    first = head if head >= 6 and last - head >= 5 else 0
    before = np.median(found.speed[first:last])
    if last < n and _goes_on(found.speed, first, last):
        last = n
    released = float(found.t[last - 1]) if last < n else None
    if last < n:
        while last - first > 6 and abs(found.speed[last - 1] / before - 1) > 0.03:
            last -= 1
        last = max(last - 1, first + 5)
    return first, last, released


def _goes_on(speed, first, last) -> bool:
    """Whether the speed after a fading carries on where it was going: weaker sound, but no release."""
    recent = speed[max(first, last - 10) : last]
    slope = np.polyfit(np.arange(len(recent)), recent, 1)[0]
    after = speed[last : last + 10]
    ahead = recent.mean() + slope * (np.arange(len(after)) + (len(recent) + 1) / 2)
    return bool(np.median(np.abs(after / ahead - 1)) < 0.04)


def _frames_say(stretch: Search, factor: float) -> float:
    """What the frames hold for a multiple, less than for the track itself, scaled for being alike. [nat]"""
    at = stretch.place + round(np.log(factor) / STEP)
    inside = (at >= 0) & (at < stretch.score.shape[1])
    rows = np.flatnonzero(inside)
    if len(rows) < 0.8 * len(at):
        return 0.0
    near = [stretch.score[rows, np.clip(at[rows] + k, 0, stretch.score.shape[1] - 1)] for k in (-1, 0, 1)]
    return FRAME_SHARE * float((np.max(near, axis=0) - stretch.heard[rows]).sum())


def _beside(stretch: Search) -> list[float]:
    """Multiples, not simple ones, at which the frames also hold much evidence: a blade taken for an engine."""
    frames, places = stretch.score.shape
    rows = np.arange(frames)
    shifts = np.arange(-places // 2, places // 2, 2)
    at = stretch.place + shifts[:, None]
    inside = (at >= 0) & (at < places)
    total = np.where(inside, stretch.score[rows, np.clip(at, 0, places - 1)], 0).sum(axis=1)
    total[inside.mean(axis=1) < 0.8] = 0
    factor = np.exp(STEP * shifts)
    for known in MULTIPLES:
        total[np.abs(factor / known - 1) < 0.025] = 0
    found = []
    for _ in range(2):
        best = int(total.argmax())
        if total[best] < 0.25 * stretch.heard.sum():
            break
        found.append(float(factor[best]))
        total[np.abs(factor / factor[best] - 1) < 0.03] = 0
    return found
