"""How fast does a filmed part turn, from the flicker of its mark?"""

import numpy as np

from snath.formulas.signals.flicker_answer import answer, cost, seems_to_stand
from snath.formulas.signals.flicker_rates import fitting_rates
from snath.formulas.signals.flicker_region import flickering
from snath.formulas.signals.frame_times import frame_rate
from snath.formulas.signals.light_result import LightResult
from snath.quantities.errors import InputError, within

REPEATED = 2.5  # times a mark must have gone round by eye before its creep is a figure
LEAST_FRAMES = 24
NOTHING = "nothing flickers regularly at a speed in the range"


def speed_from_light(t_s, cells, *, marks=1, rev_s_low, rev_s_high, exposure_s=None):
    """Speed of a marked part from a film.

    Parameters
    ----------
    t_s : array_like, shape (n,)
        Time stamps of the frames, rising. [s]
    cells : ndarray, shape (n, rows, columns)
        Brightness in each frame. [any]
    marks : int
        Alike marks or tips round the part, 1 to 100. [1]
    rev_s_low, rev_s_high : float
        Range of its speed, over 0 up to 1000. [rev/s]
    exposure_s : float or None
        How long each picture was exposed; rules out speeds that would have smeared the mark more. [s]

    Returns
    -------
    LightResult
        With `decided` False where several speeds would look the same.

    Raises
    ------
    InputError
        If times do not rise or a number is outside its range.
    """
    t = np.atleast_1d(within("t_s", t_s, -1e9, 1e9, "s"))
    within("marks", marks, 1, 100)
    within("rev_s_low", rev_s_low, 0, 1000, "rev/s", open_low=True)
    within("rev_s_high", rev_s_high, rev_s_low, 1000, "rev/s")
    if len(t) != len(cells):
        raise InputError("t_s", f"{len(t)} times", f"must be as many as the {len(cells)} frames")
    rising = np.concatenate([[True], np.diff(t) > 0]) if len(t) else np.zeros(0, dtype=bool)
    t, cells = t[rising], np.asarray(cells)[rising]
    if len(t) < LEAST_FRAMES:
        return LightResult((), False, notes=(f"at least {LEAST_FRAMES} frames are needed",))
    rate, length = frame_rate(t), float(t[-1] - t[0])
    low, high = rev_s_low * marks, rev_s_high * marks
    series, place, angle, noise = flickering(cells)
    if not series.shape[1]:
        return seems_to_stand(rate=rate, marks=marks, low=low, high=high, length=length)
    total = max(float(((series - series.mean(axis=0)) ** 2).sum()) - noise, 1e-9)
    fits, even = fitting_rates(t, series, rate=rate, low=low, high=high)
    if not fits:
        return LightResult((), False, frame_rate=rate, place=place, duration=length, notes=(NOTHING,))
    best = min(fits, key=cost)
    apparent = abs((best.rate + rate / 2) % rate - rate / 2)
    if even and apparent * length < REPEATED:
        return seems_to_stand(rate=rate, marks=marks, low=low, high=high, length=length)
    if exposure_s:
        sharp = [f for f in fits if f.rate / marks * exposure_s <= 1.2 * f.width / marks + 0.02]
        fits = sharp or fits
    return answer(fits, rate=rate, marks=marks, total=total, noise=noise, even=even, place=place, angle=angle)
