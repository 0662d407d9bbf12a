"""Find the falls of speed that lead to the puffs heard.

A fall says when each puff must come, to within the unevenness of the cycles. Many falls are let run along side by
side; those whose puffs are met go on in more copies, the others are dropped (docs/sound.md, section 3, release).
"""

from typing import Any

import numpy as np
from scipy.ndimage import uniform_filter1d
from scipy.special import expit

from snath.formulas.signals.sound_falls import Falls, Grid, either, time_to_turn
from snath.formulas.signals.sound_puffs import Puffs
from snath.formulas.signals.sound_scatter import Scatter

MANY = 8000  # falls that run side by side
STRENGTH = 0.07  # compression beside a firing, in amplitude: about, settled on simulated clips [1]
MOST = 4.0  # what one puff may say at most on average [nat]
UNEVEN = 0.006  # of a cycle's length, as a share
HELD = 0.002  # u of the speed before the release, as a share
PLACED = 0.004  # u of where the last cycle began [cycle]
AROUND = 0.3  # length of sound by which noise is told that comes and goes, as of a blade [s]
FRESH = 0.06  # s after the release in which firings still ring
SLOWEST = 0.08  # share of the speed under which no puffs are looked for
TOGETHER = 1 / 30  # firings nearer than this are gone through together [s]
SPENT = 0.4  # share of the falls that must still count, else the others are dropped
STIRRED = 0.1  # how far copies are moved apart, as a share of the spread of all
LEAST_DRAG = 0.02  # 1/s
ODDS = 1.4  # log of the odds that compression is heard at all, before hearing: 4 to 1, a guess
STEPS = 900  # most


def coasted(
    grid: Grid,
    puffs: Puffs,
    *,
    released: float,
    speed: float,
    runs: float,
    turns: int,
    firings: tuple[float, ...],
) -> tuple[Falls, float, float]:
    """Belief in falls after the puffs, and how much more those say than silence.

    Parameters
    ----------
    grid : Grid
        Belief before them.
    puffs : Puffs
        What was heard of them.
    released : float
        Moment to which the releases of the grid are set beside. [s]
    speed : float
        Until the release. [rev/s]
    runs : float
        What an engine runs at, at least. [rev/s]
    turns : int
        Turns of a cycle. [1]
    firings : tuple of float
        Places in the cycle where a cylinder is compressed. [1]

    Returns
    -------
    tuple of (Falls, float, float)
        Falls with their belief, what the puffs that are met say, and of that what those at speeds say at which no
        engine runs. [1], [nat], [nat]
    """
    scatter = Scatter()
    brake, drag, late = grid.drawn(MANY, scatter)
    brake, drag = np.abs(brake), np.maximum(drag, LEAST_DRAG)
    pace = speed * (1 + HELD * scatter.normal(MANY)) / turns
    t = puffs.expected + puffs.lag + PLACED / pace * scatter.normal(MANY)
    end = puffs.begin + len(puffs.match) / puffs.rate - 0.02
    believed, said, gained = grid.of(brake, drag, late), np.zeros(MANY), 0.0
    above = None  # what had been said when the speed came under what an engine runs at
    cycles = max(1, round(TOGETHER * speed / turns))
    places = np.append(np.add.outer(np.arange(cycles), firings), cycles)  # of the puffs, and the end
    heard = _says(puffs)
    for _ in range(STEPS):
        since = t - released - late
        uneven = 1 + UNEVEN / np.sqrt(cycles) * scatter.normal(MANY)
        spent, left = time_to_turn(brake, drag, since, places[:, None] / pace)
        rolling = left[-1] > SLOWEST
        said += np.where(rolling, heard(t + uneven * spent[:-1]).sum(axis=0), 0)
        t = t + np.where(rolling, uneven * spent[-1], 0.05)
        if t.min() > end:
            break
        share = np.exp(said - said.max())
        if above is None and share @ (left[-1] * pace) * turns < runs * share.sum():
            above = gained + said.max() + np.log(share.mean())
        if share.sum() ** 2 < SPENT * MANY * (share @ share):
            kept = np.searchsorted(
                np.cumsum(share / share.sum()), (np.arange(MANY) + scatter.even(1)) / MANY
            ).clip(0, MANY - 1)
            brake, drag, late, pace, t, believed = (x[kept] for x in (brake, drag, late, pace, t, believed))
            gained += said.max() + np.log(share.mean())
            said = np.zeros(MANY)
            brake, drag, believed = _stirred(brake, drag, late, believed, grid, scatter)
    share = np.exp(said - said.max())
    gained += said.max() + np.log(share.mean())
    met = Falls(brake, drag, released + late, pace * turns, share / share.sum())
    below = 0.0 if above is None else float(gained - above)
    return either(met, grid.falls(released, speed), expit(gained + ODDS)), float(gained), below


def _says(puffs: Puffs) -> Any:
    """A function that tells how much the sound speaks for a puff at some times. [nat]"""
    usual = STRENGTH**2 * puffs.full
    around = uniform_filter1d(puffs.match**2, max(int(AROUND * puffs.rate), 1), mode="nearest")
    doubt = np.maximum(around / puffs.full, max(1.0, usual / MOST))
    says = (STRENGTH * puffs.match - usual / 2) / doubt
    says[: int(FRESH * puffs.rate)] = 0
    says = np.concatenate([says, (0.0, 0.0)])

    def at(when: Any) -> Any:
        place = np.clip((when - puffs.begin) * puffs.rate, 0, len(says) - 2)
        whole = place.astype(np.intp)
        first = says[whole]
        return first + (place - whole) * (says[whole + 1] - first)

    return at


def _stirred(brake: Any, drag: Any, late: Any, believed: Any, grid: Grid, scatter: Scatter) -> Any:
    """Copies moved apart, where they do not land on what is believed in less (Metropolis' rule), and belief there."""
    spread = np.cov(brake, drag) + 1e-9 * np.eye(2)
    step = STIRRED * np.linalg.cholesky(spread) @ scatter.normal(2 * len(brake)).reshape(2, -1)
    other, others = np.abs(brake + step[0]), np.maximum(np.abs(drag + step[1]), LEAST_DRAG)
    there = grid.of(other, others, late)
    taken = np.log(scatter.even(len(brake))) < there - believed
    return np.where(taken, other, brake), np.where(taken, others, drag), np.where(taken, there, believed)
