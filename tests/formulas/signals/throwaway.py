"""A tiny engine for these tests only: combs of known speed in white noise, truth exact by construction."""

import numpy as np


def combs(*, turns, rate, noise=0.05, cycle_turns=2, firings=(0.0,), blade=None, blade_level=0.4, seed=1):
    """Sound of a shaft that has turned `turns` at each sample.

    Lines 1 to 3 of the cycle are nearly absent, as behind a phone's cut-off; `blade` is a ratio.
    """
    generator = np.random.default_rng(seed)
    angle = 2 * np.pi * np.asarray(turns) / cycle_turns
    x = np.zeros(len(angle))
    for k in range(1, 40):
        share = abs(np.mean(np.exp(2j * np.pi * k * np.array(firings))))
        loud = share * (0.03 if k < 4 else 1.0) / (1 + (k / 12) ** 2)
        x += loud * np.cos(k * angle + generator.uniform(0, 2 * np.pi))
    scale = np.std(x)
    if blade is not None:
        for tone in (1, 2, 3):
            lines = np.cos(2 * tone * 2 * np.pi * np.asarray(turns) * blade + generator.uniform(0, 2 * np.pi))
            x += blade_level * scale / tone * lines
    return (x + noise * scale * generator.standard_normal(len(x))).astype(np.float32)


def steady(*, rev_s, seconds, rate=44_100, **how):
    """The same at one speed."""
    return combs(turns=rev_s * np.arange(int(seconds * rate)) / rate, rate=rate, **how)
