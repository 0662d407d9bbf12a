"""Score every fall of speed against single frames after a release.

In each frame the engine's compression and the tones of a blade make a comb that moves with the speed; along a
right curve all combs are there (docs/sound.md, section 3, release).
"""

from dataclasses import dataclass
from typing import Any

import numpy as np

from snath.formulas.signals.comb import STEP, Pattern, comb_score, log_levels
from snath.formulas.signals.ranks import log_mean
from snath.formulas.signals.sound_falls import BRAKES, DRAGS, Grid, share_left, usual
from snath.formulas.signals.sound_pipe import PIPE_FRAMES, pipe_loudness
from snath.formulas.signals.sound_plan import Plan
from snath.formulas.signals.sound_tones import SILENT, softer, tones_before, tones_of, tones_say

SLOPES = (0.0, -0.15, -0.3, -0.45, -0.6, -0.75, -0.9, -1.05, -1.2, -1.4, -1.6, -1.85, -2.15, -2.5, -3.0)
# shares of the speed per second
EDGES = -0.5 * (np.array(SLOPES[1:]) + np.array(SLOPES[:-1]))
SPAN = 0.33  # of a frame [s]
AROUND = 90.0  # width of the neighbourhood a line must stand out from [Hz]
LOWEST = 20.0  # frequency looked at [Hz]
SLOWEST = 3.0  # under this nothing is looked for [rev/s]
BEGINS = np.arange(-0.1, 0.25, 0.05)  # release beside where it was noticed, where it could not be told [s]
LATE = 0.006  # the same where it could, beside its own u: standard uncertainty [s]
APART = np.array((-1.5, 0.0, 1.5))  # releases tried, in u of the moment
WHOLE = 0.29  # spread of a moment somewhere between two firings, as a share of their distance
EVERY = 2  # of the frames is listened to: those between share most of their sound
ALIKE = 2.0  # evidence of neighbouring frames and lines is not independent
PUFF = 0.05  # compression beside a firing, in amplitude: about [1]
RUNS, STEPS = 1.6, 0.04  # of the least speed listened for, which is half of idle: what an engine runs at, at
# least; and how finely the speed that a throttled one holds is tried, as a share of that before
LAGS = (0.05, 0.1, 0.2, 0.35, 0.6, 1.0, 1.6)  # time constants of throttling [s]
SLOWED = np.array(
    (0.05, 0.1, 0.17, 0.25, 0.35, 0.5, 0.7, 1.0, 1.4, 2.0, 3.0)
)  # as `BRAKES`, of one throttled [1/s]
SLOWED_BY_DRAG = np.array((0.04, 0.1, 0.2, 0.4, 0.7, 1.05, 1.6, 2.4))  # as `DRAGS` [1/s]
LOUD_SAYS, MOST_SAYS = 0.5, 2.0  # usual and greatest weight of a line by how loud the pipe was there


@dataclass(frozen=True, slots=True)
class Said:
    """What frames say for each course there may have been, beside silence.

    Attributes
    ----------
    falls : float
        It runs down. [nat]
    vanishes : float
        The same, but nothing is heard of it under the speed that an engine runs at. [nat]
    holds : float
        It was throttled, and holds a speed an engine runs at. [nat]
    """

    falls: float
    vanishes: float
    holds: float


def believed(
    power: Any,
    t: Any,
    before: Any,
    *,
    floor: Any,
    width: float,
    top: float,
    plan: Plan,
    pattern: Pattern,
    blades: Any,
) -> tuple[Grid, Said]:
    """Belief in every fall by what is usual and by what frames say.

    Parameters
    ----------
    power : callable
        Spectra of frames round some times, for some slopes: (times, slopes) to (slopes * times, bins). [any]
    t : ndarray, shape (frames,)
        Frame centres after the release. [s]
    before : Before
        What is known of the time before.
    floor : ndarray, shape (bins,)
        Lasting noise. [any]
    width, top : float
        Bin width and highest frequency used. [Hz], [Hz]
    plan : Plan
        What to listen for.
    pattern : Pattern
        Lines of the engine.
    blades : tuple of Driven
        Parts that still turn with it.

    Returns
    -------
    tuple of (Grid, Said)
        Log belief in each fall [1], and what the frames say in all.
    """
    t = t[::EVERY]
    speed, low = before.last, max(SLOWEST, 0.06 * before.last)
    fires = speed / plan.turns * len(plan.firings)
    begins = BEGINS if before.u is None else APART * np.sqrt(before.u**2 + LATE**2 + (WHOLE / fires) ** 2)
    engine, parts = _evidence(power, t, before, floor, width, top, low, plan, pattern, blades)

    least = RUNS * plan.low / speed

    def says(share: Any, slope: Any) -> Any:
        """What frames say for courses, by the share of the speed and the slope each has in them: all, and those in
        which it is fast enough for an engine to run. [nat]"""
        place, inside = _places(share * (speed / low), slope, engine.shape[2])
        runs = share >= least

        def along(table: Any) -> Any:
            each = np.where(inside, table.reshape(-1).take(place), 0)
            return np.stack([each.sum(axis=1), (each * runs).sum(axis=1)]) / ALIKE

        said = along(engine)
        for tables in parts:
            said += np.logaddexp.reduce([np.full(said.shape, SILENT), *(along(table) for table in tables)])
        return said

    brake, drag, late = (x.ravel() for x in np.meshgrid(BRAKES, DRAGS, begins, indexing="ij"))
    since = t - before.released - late[:, None]
    share = share_left(brake[:, None], drag[:, None], since)
    slope = np.where(since > 0, drag[:, None] + brake[:, None] / np.maximum(share, 1e-3), 0.0)
    (said, vanishing), usually = says(share, slope), usual(brake, drag)
    belief = (said + usually).reshape(len(BRAKES), len(DRAGS), len(begins))
    return Grid(BRAKES, DRAGS, begins, belief), Said(
        log_mean(said, usually),
        log_mean(vanishing, usually),
        _holding(says, t - before.released, min(max(least, STEPS), 1 - STEPS)),
    )


def _holding(says: Any, since: Any, least: Any) -> float:
    """What frames say for an engine that was throttled and runs on at a share of its speed. [nat]

    It comes down as throttled ones do, or in any way that a shaft without drive does: what is heard of the way down
    alone then says for neither.
    """
    idles = np.arange(least, 1.0, STEPS)
    idle, lag = (x.ravel()[:, None] for x in np.meshgrid(idles, LAGS, indexing="ij"))
    gone = np.where(since > 0, np.exp(-np.maximum(since, 0) / lag), 1.0)
    share = idle + (1 - idle) * gone
    eased, _ = says(share, np.where(since > 0, (1 - idle) * gone / lag / share, 0.0))
    idle, brake, drag = (
        x.ravel()[:, None] for x in np.meshgrid(idles, SLOWED, SLOWED_BY_DRAG, indexing="ij")
    )
    left = share_left(brake, drag, since)
    slowing = np.where((since > 0) & (left > idle), drag + brake / left, 0.0)
    coasted, _ = says(np.maximum(left, idle), slowing)
    return float(np.logaddexp(log_mean(eased), log_mean(coasted)) - np.log(2))


def _places(ratio: Any, slope: Any, count: Any) -> Any:
    """Where courses are in tables of slope, frame and speed, laid out in a row, and where they are inside."""
    place = np.rint(np.log(ratio) / STEP).astype(np.intp)
    inside = (place >= 0) & (place < count)
    row = np.searchsorted(EDGES, slope) * ratio.shape[1] + np.arange(ratio.shape[1])
    return row * count + np.clip(place, 0, count - 1), inside


def _evidence(
    power: Any,
    t: Any,
    before: Any,
    floor: Any,
    width: Any,
    top: Any,
    low: Any,
    plan: Plan,
    pattern: Pattern,
    blades: Any,
) -> Any:
    """Tables of evidence by slope, frame and speed: of the engine, and of each blade as loud as it may be."""
    speed = before.last
    count = int(np.log(1.03 * speed / low) / STEP) + 1
    moving = power(t, SLOPES)
    levels = log_levels(moving, floor, width, low=LOWEST, high=top, around=AROUND)
    recent = slice(-PIPE_FRAMES, None)
    ran, ran_speed = power(before.t[recent], (0.0,)) / floor, before.speed[recent]
    axis = LOWEST * np.exp(STEP * np.arange(levels.shape[1]))
    heard = PUFF**2 * np.interp(axis, *pipe_loudness(ran, width, ran_speed, pattern))
    weight = heard / (1 + heard)
    weight = np.minimum(LOUD_SAYS * weight / np.sqrt(np.mean(weight**2)), MOST_SAYS).astype(np.float32)
    shape = (len(SLOPES), len(t), count)
    engine = comb_score(levels * weight, LOWEST, pattern, low, count).reshape(shape)
    if not blades:
        return engine, []
    bins = axis / width
    left = np.minimum(bins.astype(int), len(floor) - 2)
    share = (bins - left).astype(np.float32)
    noise = floor[left] * (1 - share) + floor[left + 1] * share
    ratio = moving.take(left, axis=1)
    ratio += (moving.take(left + 1, axis=1) - ratio) * share
    ratio /= noise.astype(np.float32)
    parts = []
    for part in blades:
        by, loud = tones_before(ran, width, ran_speed, part)
        parts.append(
            [
                tones_say(
                    ratio, LOWEST, by * tones_of(part), loud * softly, speed, noise, low, count
                ).reshape(shape)
                for softly in softer(part, plan)
            ]
        )
    return engine, parts
