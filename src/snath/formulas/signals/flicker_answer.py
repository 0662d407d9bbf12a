"""What is left of the rates that fit a film: one speed, several that look the same, or a part that seems to stand?"""

import numpy as np

from snath.formulas.signals.candidates import Candidate
from snath.formulas.signals.flicker_budget import steady_speed
from snath.formulas.signals.flicker_search import windows
from snath.formulas.signals.flicker_shutter import Shutter, longest_exposure
from snath.formulas.signals.flicker_weights import Likely
from snath.formulas.signals.light_result import MOST, LightResult

DECIDING = 0.99  # least weight of the one that is decided on
EXPLAINED = 0.7  # least share of the flicker that a speed must explain
HELD, STRETCH = (
    0.5,
    0.6,
)  # the same in every stretch, where rows decide: the mark must never be lost; s that one lasts
NEAR_FOLD = 3.0  # times one over the length: closer than this to a fold, a part seems to stand or to jump


def answer(likely, *, rate, marks, total, noise, even, place, shutter, rows, ruled_out) -> LightResult:
    """The rates that are left, and whether they leave one speed.

    Parameters
    ----------
    likely : list of Likely
        Those that are left, at least one, likeliest first.
    rate : float
        Frames a second. [1/s]
    marks : int
        Alike marks round the part. [1]
    total, noise : float
        Sum of squares of what flickers, and what of it noise alone brings. [any], [any]
    even : bool
        Whether the frames came evenly.
    place : tuple of float
        Row and column of what flickers, as shares of the picture. [1]
    shutter : Shutter
        What is known of how the pictures were taken.
    rows : int
        Rows of cells in a picture. [1]
    ruled_out : bool
        Whether rows ruled out others: then nothing is decided unless their readout time was told and the mark was
        never lost on the way.

    Returns
    -------
    LightResult
        With `decided` False where several speeds would look the same.
    """
    best, length = likely[0].fit, float(likely[0].fit.t_s[-1] - likely[0].fit.t_s[0])
    steady, track = steady_speed(best, marks=marks, rate=rate, rows=rows, place=place, shutter=shutter)
    candidates = tuple(
        Candidate(
            one.fit.rate / marks,
            steady.u * one.fit.rate / best.rate,
            one.weight,
            _alias(one.fit.rate, rate),
            f"leaves {max(one.fit.left - noise, 0.0) / total:.1%} of the flicker unexplained"
            + _needs(one, marks),
        )
        for one in likely[:MOST]
    )
    explained = min(max(1 - (best.left - noise) / total, 0.0), 1.0)
    pace = np.array(track.rev_s)
    held = not ruled_out or _least_explained(best, noise=noise) >= HELD
    told = not ruled_out or shutter.readout_s is not None
    on_fold = even and _at_a_fold(best.rate, pace * marks, rate=rate, length=length)
    return LightResult(
        candidates=candidates,
        decided=bool(
            told and likely[0].weight >= DECIDING and explained >= EXPLAINED and held and not on_fold
        ),
        steady=steady,
        track=track,
        frame_rate=rate,
        even=bool(even),
        place=place,
        explained=float(explained),
        low=float(pace.min()),
        high=float(pace.max()),
        drift=float(np.polyfit(track.t_s, pace, 1)[0]) if len(pace) > 2 else 0.0,
        duration=length,
        notes=tuple(_notes(len(likely), explained=explained, held=held, on_fold=on_fold, even=even)),
        asks=_asks(likely, rate=rate, marks=marks, shutter=shutter, told=told),
    )


def _least_explained(fit, *, noise) -> float:
    """Share of the flicker that is explained in the stretch in which it is least."""
    noise = noise / len(fit.t_s)
    shares = []
    for part in windows(fit.t_s, STRETCH):
        left, flicker = (float((each[part] - noise).sum()) for each in (fit.missed, fit.flicker))
        shares.append(1 - left / flicker if flicker > 0 else 0.0)
    return min(shares)


def _at_a_fold(frequency, course, *, rate, length) -> bool:
    """Whether a rate lies too near to a fold of the frame rate, or its course leads over one."""
    apparent = abs((frequency + rate / 2) % rate - rate / 2)
    near = min(apparent, rate / 2 - apparent) < NEAR_FOLD / length
    return bool(near or len(np.unique(np.floor(2 * course / rate))) > 1)


def _notes(count, *, explained, held, on_fold, even):
    if explained < EXPLAINED:
        yield "most of what flickers does not repeat; film from a stand, closer, in even light"
    elif not held:
        yield "part of the way the mark could not be followed: film while the speed is held"
    if on_fold:
        yield "the part seems to stand or to jump between two places: too near a multiple of the frame rate"
    if even and count > 1:
        yield "the frames came evenly, so these speeds look the same"
    if count > MOST:
        yield f"{count - MOST} more speeds of the range would look the same too"


def _needs(one: Likely, marks) -> str:
    """What the shutter must have done if this is the speed."""
    said = f"; needs an exposure of at most {1000 * longest_exposure(one.fit, marks=marks):.2g} ms"
    if one.rows is None:
        return said
    readout = 1000 * one.rows.slope / one.fit.rate
    if readout >= 0:
        return said + f"; needs rows that are read in {readout:.1f} ms from the top down"
    return said + f"; needs rows that are read in {-readout:.1f} ms from the bottom up"


def _asks(likely, *, rate, marks, shutter: Shutter, told) -> tuple[str, ...]:
    """What somebody could say that tells apart what is left."""
    if len(likely) < 2 and told:
        return ()
    rows = shutter.readout_s is None and any(one.rows is not None for one in likely)
    shortest = min(longest_exposure(one.fit, marks=marks) for one in likely)
    open_for = len(likely) > 1 and shutter.exposure_s is None and shortest < 1 / rate
    return ("readout",) * rows + ("exposure",) * open_for


def _alias(frequency, rate) -> str:
    """Which fold of the frame rate a rate lies in, as the mark's apparent motion shows it."""
    multiple = round(frequency / rate)
    rest = frequency - multiple * rate
    if multiple == 0:
        return "mark, as filmed"
    return f"mark, {multiple} x the frame rate {'+' if rest >= 0 else '-'} {abs(rest):.2f}/s"


def seems_to_stand(*, rate, marks, low, high, length) -> LightResult:
    """Nothing flickers: it stands, or turns at a multiple of the frame rate.

    Parameters
    ----------
    rate : float
        Frames a second. [1/s]
    marks : int
        Alike marks round the part. [1]
    low, high : float
        Range of the repetition rate. [Hz]
    length : float
        Length of the film. [s]

    Returns
    -------
    LightResult
        Undecided, with the multiples that lie in the range.
    """
    speeds = [k * rate / marks for k in range(1, int(high / rate) + 1) if k * rate >= low][:MOST]
    candidates = tuple(
        Candidate(
            speed,
            0.5 / length,
            1 / (len(speeds) + 1),
            f"mark, {round(speed * marks / rate)} x the frame rate",
            "",
        )
        for speed in speeds
    )
    return LightResult(
        candidates,
        False,
        frame_rate=rate,
        duration=length,
        notes=(
            "nothing flickers: the part stands, or turns at a multiple of the frame rate and looks as if it stood",
        ),
    )
