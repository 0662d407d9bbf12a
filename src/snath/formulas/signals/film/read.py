"""Read the speed of a filmed part from the flicker of its mark."""

from dataclasses import replace
from typing import Any

import numpy as np

from snath.formulas.signals.film.answer import answer, apparent, seems_to_stand, with_standing
from snath.formulas.signals.film.fit import width
from snath.formulas.signals.film.frame_times import frame_rate, likely_times, only_rounded
from snath.formulas.signals.film.left import by_exposure, by_rows
from snath.formulas.signals.film.rates import fitting_rates
from snath.formulas.signals.film.region import flickering
from snath.formulas.signals.film.result import LightResult
from snath.formulas.signals.film.rivals import LAMPS, Likely, judged
from snath.formulas.signals.film.rows import flicker_by_rows, marks_seen
from snath.formulas.signals.film.shutter import Shutter, checked
from snath.formulas.signals.film.steady import steadied
from snath.quantities.errors import InputError, within
from snath.quantities.message import Amount, Message

REPEATED = 2.5  # times a mark must have gone round by eye before its creep is a figure
LAMP_NEAR = 0.5  # Hz
LEAST_FRAMES = 24
NOTHING_KNOWN = Shutter()
ROWS_AS_ONE, NOTHING = Message("film.rows-as-one"), Message("film.nothing-regular")


def speed_from_light(
    t_s: Any,
    cells: Any,
    *,
    marks: int = 1,
    rev_s_low: float,
    rev_s_high: float,
    shutter: Shutter = NOTHING_KNOWN,
) -> LightResult:
    """Speed of a marked part from a film.

    Parameters
    ----------
    t_s : array_like, shape (n,)
        Time stamps of the frames, -1e9 to 1e9, rising. [s]
    cells : ndarray, shape (n, rows, columns)
        Brightness in each frame. [any]
    marks : int
        Alike marks or tips round the part, 1 to 100. [1]
    rev_s_low, rev_s_high : float
        Range of its speed, over 0 up to 1000. [rev/s]
    shutter : Shutter
        What is known of how the pictures were taken, which rules out speeds that would have looked different.

    Returns
    -------
    LightResult
        With `decided` False where several speeds would look the same.

    Raises
    ------
    InputError
        If a number is outside its range, or the rows would be read for longer than a picture lasts.

    References
    ----------
    .. [1] Worked out, with what it stands on, in docs/light.md.
    """
    t = np.atleast_1d(within("t_s", t_s, -1e9, 1e9, "s"))
    within("marks", marks, 1, 100)
    within("rev_s_low", rev_s_low, 0, 1000, "rev/s", open_low=True)
    within("rev_s_high", rev_s_high, rev_s_low, 1000, "rev/s")
    if len(t) != len(cells):
        raise InputError("t_s", len(t), Message("film.as-many-times", frames=len(cells)))
    rising = np.concatenate([[True], np.diff(t) > 0]) if len(t) else np.zeros(0, dtype=bool)
    t, cells = t[rising], np.asarray(cells)[rising]
    if len(t) < LEAST_FRAMES:
        return LightResult((), False, notes=(Message("film.few-frames", least=LEAST_FRAMES),))
    rate, length = frame_rate(t), float(t[-1] - t[0])
    checked(shutter, rate=rate)
    low, high = rev_s_low * marks, rev_s_high * marks
    t = likely_times(t, folds=high / rate)
    seen = cells if shutter.lit_at_once else steadied(cells)
    region = flickering(seen, marks=marks, lit_at_once=shutter.lit_at_once)
    series, noise = region.series, region.noise
    if not series.shape[1]:
        return seems_to_stand(rate=rate, marks=marks, low=low, high=high, length=length)
    fits = fitting_rates(t, series, rate=rate, low=low, high=high)
    stands = seems_to_stand(rate=rate, marks=marks, low=low, high=high, length=length, repeats=REPEATED)
    if not fits:
        if stands.candidates:  # it creeps more slowly than is looked for
            return stands
        return LightResult((), False, frame_rate=rate, place=region.place, duration=length, notes=(NOTHING,))
    found = judged(fits, t, series, angle=region.angle, marks=marks, noise=noise)
    even = not np.array_equal(found.likely[0].fit.t_s, t) or only_rounded(t)
    creep = [one for one in found.likely if even and _creeps(one.fit, rate=rate, length=length)]
    counted = [_measured(one, region.spot) for one in found.likely if one not in creep]
    if not counted:
        return stands
    likely, smeared = by_exposure(counted, marks=marks, exposure_s=shutter.exposure_s)
    left, sure, notes = by_rows(
        likely, cells, region.at, rate=rate, marks=marks, noise=noise, shutter=shutter
    )
    rows_as_one = not shutter.lit_at_once and flicker_by_rows(seen, region.at, phase=left[0].fit.phase)
    result = answer(
        left,
        rate=rate,
        marks=marks,
        noise=noise,
        even=even,
        place=region.place,
        shutter=shutter,
        rows=cells.shape[1],
        sure=sure and not rows_as_one,
    )
    if found.creeps or creep:
        result = with_standing(result, stands)
    if rows_as_one:
        lamp = found.lamp or _lamp_near(left[0].fit.rate)
        said = Message("film.lamp", rate=Amount(float(lamp), "frequency")) if lamp else ROWS_AS_ONE
        result = replace(result, notes=(said, *result.notes), asks=("lamp", *result.asks))
    count = None if shutter.lit_at_once else marks_seen(seen, region.at, phase=left[0].fit.phase)
    return replace(result, notes=(*smeared, *notes, *result.notes), marks_seen=count)


def _measured(one: Likely, spot: Any) -> Likely:
    """The same, with the width of the mark at its rate."""
    return replace(one, fit=replace(one.fit, width=width(one.fit.phase, spot)))


def _creeps(fit: Any, *, rate: Any, length: Any) -> bool:
    """Whether the mark went round by eye too seldom to be counted, if this is its rate."""
    return bool(apparent(fit.rate, rate) * length < REPEATED)


def _lamp_near(rate: Any) -> float | None:
    """The lamp on the mains that has about this rate. [Hz]"""
    return next((lamp for lamp in LAMPS if abs(rate - lamp) < LAMP_NEAR), None)
