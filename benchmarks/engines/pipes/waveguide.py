"""Send flow through three pipes end to end as travelling waves: manifold, chamber and tail.

Digital waveguides with Kelly and Lochbaum's scattering where areas change and a reflection that depends on the valve
(J. O. Smith, Physical Audio Signal Processing, 2010, "Digital Waveguide Models"; from memory). What leaves the tail is
what its open end does not send back. Waves are worked out in blocks no longer than the shortest pipe.
"""

import numpy as np

from benchmarks.engines.case import Array

SPEED_OF_SOUND = 430.0  # m/s
LENGTHS = ((0.4, 0.8), (0.4, 0.6), (0.4, 0.9))  # m, of manifold, chamber and tail


def exhausted(flow: Array, open_: Array, kind: str, rate: float, g: np.random.Generator) -> Array:
    """Sound outside the tail of `flow` at the valves that stand `open_`."""
    late = [max(int(g.uniform(*span) / SPEED_OF_SOUND * rate), 4) for span in LENGTHS]
    ratio = g.uniform(5, 20) if kind == "muffler" else 1.0
    k = (ratio - 1) / (ratio + 1)  # what a wide pipe's pressure finds at a narrow one
    shut, wide = g.uniform(0.85, 0.97), g.uniform(0.1, 0.6)
    valve = shut + (wide - shut) * open_
    far, lost = g.uniform(0.6, 0.9), g.uniform(0.94, 0.99)
    first, second, third = late
    before, count = max(late) + 2, len(flow)
    ways = np.zeros((6, count + before))  # out and back in manifold, chamber and tail, as they start
    out1, back1, out2, back2, out3, back3 = ways
    source = np.concatenate([np.zeros(before), flow])
    gate = np.concatenate([np.zeros(before), valve * lost])
    block = min(late)
    less, more, sent, open_end = lost * (1 - k), lost * (1 + k), lost * k, -far / 2
    for a in range(before, count + before, block):
        b = min(a + block, count + before)
        out1[a:b] = source[a:b] + gate[a:b] * back1[a - first : b - first]
        here, there = out1[a - first : b - first], back2[a - second : b - second]
        out2[a:b] = less * here + sent * there
        back1[a:b] = more * there - sent * here
        here, there = out2[a - second : b - second], back3[a - third : b - third]
        out3[a:b] = more * here - sent * there
        back2[a:b] = sent * here + less * there
        back3[a:b] = open_end * (out3[a - third : b - third] + out3[a - third - 1 : b - third - 1])
    leaving = np.zeros(count)
    arrived = out3[before - third : before - third + count]
    leaving[1:] = arrived[1:] - far / 2 * (arrived[1:] + arrived[:-1])
    return leaving
