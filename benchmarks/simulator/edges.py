"""Edges a pick-up would give on a turning shaft, some of them missed, some doubled."""

from dataclasses import dataclass

import numpy as np

from benchmarks.simulator.ride import Array, Ride
from snath.quantities.errors import within


@dataclass(frozen=True, slots=True)
class PickUp:
    """A pick-up and its faults.

    Attributes
    ----------
    places : tuple of float
        Where on the turn its marks or teeth stand, fractions from 0 up to 1.
    missed, doubled : float
        Shares of the edges that are lost, and that bounce.
    bounce_s : float
        Longest time between an edge and its double. [s]
    noise_s : float
        Standard deviation of an edge's moment. [s]
    every : int
        1 for a mark seen each turn, 2 for a spark every second turn.
    """

    places: tuple[float, ...] = (0.0,)
    missed: float = 0.0
    doubled: float = 0.0
    bounce_s: float = 0.002
    noise_s: float = 0.0
    every: int = 1


def edges(going: Ride, pick_up: PickUp, *, seconds: float, generator: np.random.Generator) -> Array:
    """Moments at which the pick-up answers, rising. [s]"""
    within("missed", pick_up.missed, 0, 0.5)
    within("doubled", pick_up.doubled, 0, 0.5)
    turns = np.arange(0, going.turns[-1], pick_up.every)
    at = going.time_at((turns[:, None] + np.array(pick_up.places)).ravel())
    at = at + pick_up.noise_s * generator.standard_normal(len(at))
    kept = at[generator.random(len(at)) >= pick_up.missed]
    bounced = kept[generator.random(len(kept)) < pick_up.doubled]
    doubles = bounced + generator.uniform(0.05, 1, len(bounced)) * pick_up.bounce_s
    both = np.sort(np.concatenate([kept, doubles]))
    return both[(both >= 0) & (both < seconds)]


def wheel(teeth: int, missing: tuple[int, ...] = ()) -> tuple[float, ...]:
    """Places of a toothed wheel's teeth, without the missing ones."""
    return tuple(tooth / teeth for tooth in range(teeth) if tooth not in missing)
