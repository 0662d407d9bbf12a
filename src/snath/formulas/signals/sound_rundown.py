"""Follow the fall of speed after a release, when hardly anything is left to hear.

Single frames say little then, but all of them must lie on one curve: friction that does not depend on
speed and drag that grows with it (docs/sound.md, equation 14). The few curves there are can be tried.
"""

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from snath.formulas.signals.candidates import Driven
from snath.formulas.signals.comb import Pattern
from snath.formulas.signals.sound_coast import coasted
from snath.formulas.signals.sound_falls import Falls
from snath.formulas.signals.sound_glide import RUNS, SLOWEST, SPAN, believed
from snath.formulas.signals.sound_pipe import lasting_noise
from snath.formulas.signals.sound_plan import Plan
from snath.formulas.signals.sound_puffs import puffs_after
from snath.formulas.signals.spectra import frame_power

LEAST = 0.005  # u beside the spread of what was tried, as a share of the speed that is left
LOST = 0.005  # and of the speed that has been lost; both settled on simulated clips
WIDEST = 0.5  # u over speed up to which a fall is shown: wide, but told
HEARD, FURTHER = (
    6.0,
    10.0,
)  # what must say for a fall down to the speed an engine runs at, at least, and below
# that, where none runs, for it to be told for long: what was not heard while it was loud is no fall [nat]
SOON = 0.45  # after the release, in which every fall there is has gone about as far [s]
TOGETHER, FINENESS = (
    6,
    0.04 / 6,
)  # steps of log speed that are taken for one speed, either way, and their width


@dataclass(frozen=True, slots=True)
class Fall:
    """A speed after release.

    Attributes
    ----------
    speed, u : ndarray, shape (frames,)
        Speed and its standard uncertainty. [rev/s]
    told : ndarray of bool, shape (frames,)
        Where it can be told.
    runs_on : float
        How much more what is heard says for an engine that runs on than for a fall, or than silence does. [nat]
    """

    speed: NDArray[np.float64]
    u: NDArray[np.float64]
    told: NDArray[np.bool_]
    runs_on: float = 0.0


@dataclass(frozen=True, slots=True)
class Before:
    """The course until the release: times [s] and speeds [rev/s] of frames, when it was released [s] and its u [s].

    `u` is None where the moment could not be told and is only about right.
    """

    t: NDArray[np.float64]
    speed: NDArray[np.float64]
    released: float
    u: float | None

    @property
    def last(self) -> float:
        """Speed at the release. [rev/s]"""
        return float(np.median(self.speed[-5:]))


def fallen(
    quiet: Any,
    rate: float,
    t: Any,
    before: Before,
    *,
    top: float,
    plan: Plan,
    pattern: Pattern,
    blades: tuple[Driven, ...],
) -> Fall:
    """The likeliest fall from a known speed.

    Parameters
    ----------
    quiet : ndarray, shape (n,)
        Sound without anything over `top`. [any]
    rate : float
        Its rate. [1/s]
    t : ndarray, shape (frames,)
        Frame centres after the release. [s]
    before : Before
        What is known of the time before.
    top : float
        Highest frequency used. [Hz]
    plan : Plan
        What to listen for.
    pattern : Pattern
        Lines of the engine, whose compression still puffs.
    blades : tuple of Driven
        Parts that still turn with it.

    Returns
    -------
    Fall
        One speed for each of `t`.
    """

    frame_rate = 2.26 * top
    _, width = frame_power(
        quiet, rate, np.zeros(0, int), slopes=(0.0,), span=SPAN, frame_rate=frame_rate, top=top
    )

    def power(at: Any, slopes: Any) -> Any:
        places = (at * rate).astype(int)
        return frame_power(quiet, rate, places, slopes=slopes, span=SPAN, frame_rate=frame_rate, top=top)[0]

    floor = lasting_noise(power(t, (0.0,)), width)
    grid, said = believed(
        power, t, before, floor=floor, width=width, top=top, plan=plan, pattern=pattern, blades=blades
    )
    puffs = puffs_after(
        quiet, rate, before.t, before.speed, before.released, plan, floor * (rate / frame_rate), width
    )
    if puffs is None:
        falls, met, below = grid.falls(before.released, before.last), 0.0, 0.0
    else:
        falls, met, below = coasted(
            grid,
            puffs,
            released=before.released,
            speed=before.last,
            runs=RUNS * plan.low,
            turns=plan.turns,
            firings=plan.firings,
        )
    fall = _told(falls, t)
    further = said.falls - max(said.vanishes, said.holds, 0.0) + max(below, 0.0)
    proven = said.vanishes > HEARD and further > FURTHER
    soon = t < before.released + SOON
    runs_on = said.holds - max(said.falls + max(met, 0.0), said.vanishes, 0.0)
    return replace(fall, told=fall.told & (proven | soon), runs_on=runs_on)


def _told(falls: Falls, t: Any) -> Fall:
    """The speeds to be shown."""
    curve = falls.at(t)
    found = np.array([_likeliest(course, falls.belief) for course in curve.T])
    lost = np.maximum(falls.belief @ falls.speed - found, 0)
    u = np.sqrt(falls.belief @ (curve - found) ** 2) + LEAST * found + LOST * lost
    return Fall(found, u, (found > SLOWEST) & (u < WIDEST * found))


def _likeliest(speed: Any, belief: Any) -> float:
    """The speed near which most of the belief lies: where several curves fit, a mean of all would be on none."""
    step = (np.log(speed / speed.min()) / FINENESS).astype(int)
    share = np.bincount(step, belief, minlength=2 * TOGETHER + 2)
    best = int(np.convolve(share, np.ones(2 * TOGETHER + 1), "same").argmax())
    near = np.abs(step - best) <= TOGETHER
    return float(belief[near] @ speed[near] / belief[near].sum())
