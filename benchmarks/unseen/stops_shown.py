"""Show a stop as an instrument does that sees nothing slow: a display, a voltage with noise, a figure that stays.

The brake lets go low, so that what is not shown lasts. The run-down itself is that of `stops_braked`.
"""

from dataclasses import replace

import numpy as np

from benchmarks.unseen import stops_braked
from benchmarks.unseen.stops_braked import Stop


def stop(given: dict, rng: np.random.Generator, *, way: str | None = None) -> Stop:
    """One stop drawn from the ranges under `stops.shown`; `kind` says how it was shown."""
    one = stops_braked.stop(given, rng, seen_to=0.0)
    way = way or str(rng.choice(given["ways"]))
    under = float(np.exp(rng.uniform(*np.log(given["shows_from"])))) * float(one.rev_s[:5].mean())
    t, read = one.t_s, one.rev_s.copy()
    lost = np.cumsum(read < under) > 0
    since = t - t[lost][0] if lost.any() else t * 0
    noise = np.maximum(one.u * rng.standard_normal(len(t)), 0.0)
    if way == "zeros":
        read[lost] = 0.0
    elif way == "stays, then zeros":
        read[lost] = np.where(since[lost] < given["stays_s"], read[~lost][-1], 0.0)
    elif way == "zeros, now and then a figure":
        read[lost] = np.where(rng.random(int(lost.sum())) < given["blips"], noise[lost], 0.0)
    else:
        read[lost] = noise[lost]
    return replace(one, rev_s=read, kind=way)
