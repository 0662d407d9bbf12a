"""Scale a run-down curve to its own units, and fit the friction laws to it by least squares."""

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import scipy

from snath.formulas.stopping.laws import rundown
from snath.quantities.errors import InputError, within
from snath.quantities.message import Message

FEWEST = 8  # points of the falling curve
LEVEL = 3.841458820694124  # 95 % of chi-square with one degree of freedom: 1.959964 squared
REACH = 50.0  # times the curve seen, beyond which a standstill is called never
AWAKE = 0.03  # a root at nothing would stay there: its square has no slope
CALLS = 500
SHARES = ((0.5, 0.1), (0.1, 0.5))  # of oil and air to start from: one may hide the other
FIRST, ROUNDS, CLOSE = 0.01, 12, 0.02  # first step as a share of the curve, steps, root of loss left
UNLIKELY = 1.645  # standard deviations that chance alone passes once in twenty, on one side
MEDIAN_DOUBT = 1.5  # of the spread seen in n second differences, times root n: simulated, tests hold it
SMOOTHED = 0.001  # chance of so little scatter, under which points are not taken for independent
UNKNOWNS = 4  # standstill and three frictions
MISFIT = 5.0  # standard deviations of chi-square beyond which the full law does not describe the curve


@dataclass(frozen=True, slots=True)
class LawFit:
    """One friction law at its best.

    Attributes
    ----------
    law : str
    standstill : float
        On the track's clock. [s]
    dry, viscous, windage : float
        [rev/s^2], [1/s], [1/rev]
    misfit : float
        Chi-square for each degree of freedom. [1]
    fits : bool
        Whether it agrees with the curve about as well as all three terms together.
    """

    law: str
    standstill: float
    dry: float
    viscous: float
    windage: float
    misfit: float
    fits: bool


class Curve:
    """The points in units of their own start speed and length, and the fits made to them."""

    def __init__(self, t: Any, rotation: Any, u: Any) -> None:
        times = np.atleast_1d(within("t", t, -1e9, 1e9, "s"))
        speed = np.atleast_1d(within("rotation", rotation, 0, 500, "rev/s", open_low=True))
        spread = np.broadcast_to(within("u", u, 0, 50, "rev/s", open_low=True), speed.shape)
        if times.shape != speed.shape or times.size < FEWEST:
            given = f"{times.size} times, {speed.size} speeds"
            raise InputError("track", given, Message("track.too-short-run-down", points=FEWEST))
        if np.any(np.diff(times) <= 0):
            raise InputError("track", Message("track.step-back"), Message("track.rise"))
        third = max(2, times.size // 3)
        if speed[-third:].mean() >= speed[:third].mean():
            raise InputError("track", Message("track.does-not-fall"), Message("track.run-down"))
        self.times, self.speed = times, speed
        self.begin, self.length, self.top = times[0], times[-1] - times[0], float(speed[:3].mean())
        self.t, self.n = (times - self.begin) / self.length, speed / self.top
        # the spread may be stated too small: what neighbours differ by is believed where it is clearly more,
        # and only there, for always taking the larger of the two would widen honest intervals
        second = np.diff(speed, 2)
        seen = float(np.median(np.abs(second)) / 0.6745 / math.sqrt(6))
        clearly = 1 + UNLIKELY * MEDIAN_DOUBT / math.sqrt(second.size)
        self.spread = np.where(seen > clearly * spread, seen, spread) / self.top
        self.scale = 1.0

    def model(self, standstill: Any, terms: Any) -> Any:
        left = np.maximum(standstill - self.t, 0.0)
        return np.minimum(rundown(left, *terms), 1e3)

    def rest(self, standstill: Any, terms: Any) -> Any:
        return (self.n - self.model(standstill, terms)) / (self.spread * self.scale)

    def loss(self, fit: Any) -> float:
        return float((self.rest(fit[0], fit[1:]) ** 2).sum())

    def best(self, takes_part: Any) -> np.ndarray:
        """Standstill and the terms that take part, none below nothing."""
        free = np.array([True, *takes_part])
        line = np.polyfit(self.t, self.n, 1)
        stop = max(-line[1] / line[0], self.t[-1] + 1e-3)
        shares = SHARES if all(takes_part) else SHARES[:1]
        starts = [np.sqrt([stop, 1 / stop, *share])[free] for share in np.divide(shares, stop)]

        def rest(roots: Any) -> Any:
            return self.rest(*_squared(roots, free))

        found = [_least(rest, start) for start in starts]
        stop, terms = _squared(min(found, key=lambda roots: (rest(roots) ** 2).sum()), free)
        return np.array([stop, *terms])

    def settle_noise(self, full: Any) -> None:
        """Widen the points where even the full law leaves clearly more than their spread (Birge)."""
        freedom = max(1, self.t.size - UNKNOWNS)
        self.noise_ratio = self.loss(full) / freedom
        self.ratio_allowed = 1 + MISFIT * math.sqrt(2 / freedom)
        clearly = float(scipy.special.chdtri(freedom, 0.05)) / freedom
        too_smooth = float(scipy.special.chdtri(freedom, 1 - SMOOTHED)) / freedom
        self.smoothed = self.noise_ratio < too_smooth
        self.scale = math.sqrt(self.noise_ratio) if self.noise_ratio > clearly else 1.0

    def described(self, law: Any, takes_part: Any, fit: Any, least: Any) -> LawFit:
        """The fit in SI, and whether what it leaves out is missed."""
        missing = 3 - sum(takes_part)
        worse = self.loss(fit) - least
        stop, dry, viscous, windage = (float(x) for x in fit)
        return LawFit(
            law=law,
            standstill=float(self.begin + stop * self.length),
            dry=float(dry * self.top / self.length),
            viscous=float(viscous / self.length),
            windage=float(windage / (self.length * self.top)),
            misfit=self.loss(fit) * self.scale**2 / max(1, self.t.size - 1 - sum(takes_part)),
            fits=missing == 0 or worse <= float(scipy.special.chdtri(missing, 0.05)),
        )

    def may_never_stop(self, least: Any) -> bool:
        """Whether oil and air alone, n' = -b n - c n^2, agree with the curve as well as any law must."""

        def rest(x: Any) -> Any:
            top, viscous, windage = x[0], x[1] ** 2, x[2] ** 2
            faded = np.exp(-viscous * self.t)
            spent = self.t if viscous < 1e-9 else (1 - faded) / viscous
            return (self.n - top * faded / (1 + windage * top * spent)) / (self.spread * self.scale)

        best = _least(rest, np.array([1.0, 1.0, 0.5]))
        return bool((rest(best) ** 2).sum() - least <= LEVEL)

    def edge(self, full: Any, least: Any, *, sign: Any) -> float:
        """Where the best fit with the standstill held there has lost 3.84, before or after the best.

        The root of the loss runs nearly straight in the standstill, so the false position finds it fast.
        """
        roots = np.sqrt(full[1:])

        def short(stop: Any) -> Any:
            nonlocal roots
            roots = _least(lambda x: self.rest(stop, x**2), np.maximum(np.abs(roots), AWAKE))
            loss = (self.rest(stop, roots**2) ** 2).sum()
            return math.sqrt(max(0.0, loss - least)) - math.sqrt(LEVEL)

        near, far, low, high = full[0], full[0] + sign * FIRST, -math.sqrt(LEVEL), -1.0
        while (high := short(far)) < 0:
            growth = min(4.0, max(1.3, 1.1 * math.sqrt(LEVEL) / max(high + math.sqrt(LEVEL), 1e-3)))
            near, low, far = far, high, full[0] + growth * (far - full[0])
            if sign < 0 and far <= self.t[0]:
                return float(self.begin)
            if far > REACH:
                return math.inf
        for _ in range(ROUNDS):
            middle = near - low * (far - near) / (high - low)
            value = short(middle)
            if abs(value) < CLOSE:
                break
            if value < 0:
                near, low, high = middle, value, high / 2
            else:
                far, high, low = middle, value, low / 2
        return float(self.begin + middle * self.length)


def _least(rest: Any, start: Any) -> Any:
    """Levenberg and Marquardt; asked for in full so that a slow crawl to a boundary is no warning."""
    return scipy.optimize.leastsq(rest, start, full_output=True, maxfev=CALLS)[0]


def _squared(roots: Any, free: Any) -> Any:
    """Standstill and all three terms from their roots, which may have any sign; those left out nothing."""
    whole = np.zeros(4)
    whole[free] = np.square(roots)
    return whole[0], whole[1:]
