"""Fit how even a swing must be to keep itself up, on two abstract swings: none of the unseen families has a part in it.

One has a steady height and a phase that strays, as a limit cycle has; the other is what noise keeps ringing: a
complex height that is Gaussian and forgets itself (a first-order autoregression). Both with noise beside them, as
they are felt through windows of two cycles. Crying on one that is rung costs three times as much as missing one
that keeps itself up, whose swing counts for the highest speed all the same.
"""

import numpy as np
from scipy.signal import lfilter

from benchmarks.kept import share_of, table
from snath.formulas.governor.kept_up import evenness, least_evenness

SEED, COUNT = 181, 600
CYCLES = (3.2, 4, 5, 6, 8, 12, 16, 24, 40, 80, 160)
CRIED = 3.0  # 3 % of lively loops may be cried, 10 % of hunting ones missed
EACH = 8  # points a cycle
DAMPING = (0.06, 0.3)  # of what is rung; spread evenly in its logarithm, as the noise is
STRAYS = 0.15  # of a cycle, most that the phase of what keeps itself up strays in one
BREATHES = 0.15  # most of its height, and it forgets that in three cycles
NOISE = {"rung": (0.003, 0.1), "kept up": (0.003, 0.3)}  # power in a window, over that of the swing
FORGOTTEN = 400  # points before the first that counts


def drawn(kind: str, cycles: float, count: int, rng: np.random.Generator) -> np.ndarray:
    """Complex heights, turned back by their own mean rate [shape=(count, points)]."""
    points = round(cycles * EACH)
    if kind == "rung":
        damping = np.exp(rng.uniform(*np.log(DAMPING), count))
        swings = np.array([remembered(2 * np.pi * one, (2, points), rng) for one in damping])
        swing = (swings[:, 0] + 1j * swings[:, 1]) / np.sqrt(2)
    else:
        strays = 2 * np.pi * rng.uniform(0, STRAYS, (count, 1)) / np.sqrt(EACH)
        breath = rng.uniform(0, BREATHES, (count, 1)) * remembered(1 / 3, (count, points), rng)
        swing = (1 + breath) * np.exp(1j * np.cumsum(strays * rng.standard_normal((count, points)), axis=1))
    share = np.exp(rng.uniform(*np.log(NOISE[kind]), (count, 1)))
    beside = np.sqrt(share / (2 * (window() ** 2).sum()))
    return swing + beside * (rng.standard_normal(swing.shape) + 1j * rng.standard_normal(swing.shape))


def remembered(forgets: float, shape: tuple[int, int], rng: np.random.Generator) -> np.ndarray:
    """Gaussian noise of unit spread that forgets itself at a rate a cycle."""
    keeps = np.exp(-forgets / EACH)
    noise = rng.standard_normal((shape[0], shape[1] + FORGOTTEN))
    return lfilter([np.sqrt(1 - keeps**2)], [1, -keeps], noise, axis=1)[:, FORGOTTEN:]


def window() -> np.ndarray:
    """Weights of two cycles, as `Swings.felt` lays them."""
    place = (np.arange(2 * EACH) + 0.5) / EACH - 1
    weight = 1 - place**2
    return weight / weight.sum()


def evennesses(swings: np.ndarray) -> np.ndarray:
    """Of each, felt at its strongest rate every half cycle."""
    points = swings.shape[1]
    rates = np.abs(np.fft.fft(swings, 4 * points, axis=1)).argmax(axis=1) / (4 * points)
    turned = swings * np.exp(-2j * np.pi * rates[:, None] * np.arange(points))
    felt = [np.abs(np.convolve(one, window(), "valid")[:: EACH // 2]) for one in turned]
    return np.array([evenness(heights) for heights in felt])


def fitted(rung: list[np.ndarray], kept: list[np.ndarray]) -> tuple[float, float, float]:
    """Least evenness in long records, what is added over the root of the cycles, and the most that is asked."""

    def cost(long: float, short: float, most: float) -> float:
        bounds = [min(long + short / np.sqrt(cycles), most) for cycles in CYCLES]
        return sum(
            float(CRIED * (a >= b).mean() + (c < b).mean())
            for a, c, b in zip(rung, kept, bounds, strict=True)
        )

    tried = [
        (long, short, most)
        for long in np.arange(0.2, 0.6, 0.02)
        for short in np.arange(0.5, 2.0, 0.05)
        for most in np.arange(0.86, 0.99, 0.02)
    ]
    return min(tried, key=lambda one: cost(*one))


def main() -> None:
    """Print what is fitted, and what the bound in use does to either."""
    rng = np.random.default_rng(SEED)
    rung, kept = (
        [evennesses(drawn(kind, n, share_of(COUNT), rng)) for n in CYCLES] for kind in ("rung", "kept up")
    )
    print("fitted: {:.2f} + {:.2f} / root of the cycles, at most {:.2f}".format(*fitted(rung, kept)))
    lines = [
        (n, f"{b:.2f}", f"{100 * (a >= b).mean():.1f}", f"{100 * (c < b).mean():.1f}")
        for n, a, c in zip(CYCLES, rung, kept, strict=True)
        for b in [least_evenness(n)]
    ]
    table(("cycles", "asked", "rung, cried %", "kept up, missed %"), lines, f"{share_of(COUNT)} of each")


if __name__ == "__main__":
    main()
