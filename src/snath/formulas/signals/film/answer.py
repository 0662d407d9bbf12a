"""Answer from the rates that fit a film: one speed, several that look the same, or a part that seems to stand."""

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import numpy as np

from snath.formulas.signals.candidates import Candidate
from snath.formulas.signals.film.budget import steady_speed
from snath.formulas.signals.film.fit import explained
from snath.formulas.signals.film.foretold import widest_gap
from snath.formulas.signals.film.result import MOST, LightResult
from snath.formulas.signals.film.rivals import EXPLAINED, PART_SEEN, Likely
from snath.formulas.signals.film.shutter import Shutter, longest_exposure
from snath.quantities.message import Amount, Message

DECIDING = 0.99  # least weight of the one that is decided on
VAGUE = 0.02  # share of the speed by which a figure may be doubtful and still count as decided
NEAR_FOLD = 3.0  # times one over the length: closer than this to a fold, a part seems to stand or to jump
ONCE = 1.0  # turns by eye in the whole film: a mark that went round less often showed no pattern, only one passage
IN_PART = Message("film.in-part")


def answer(
    likely: list[Likely],
    *,
    rate: float,
    marks: int,
    noise: float,
    even: bool,
    place: tuple[float, float],
    shutter: Shutter,
    rows: int,
    sure: bool,
) -> LightResult:
    """The rates that are left, and whether they leave one speed.

    Parameters
    ----------
    likely : list of Likely
        Those that are left, at least one, likeliest first.
    rate : float
        Frames a second. [1/s]
    marks : int
        Alike marks round the part. [1]
    noise : float
        Sum of squares that noise alone brings into the courses of brightness. [any]
    even : bool
        Whether the frames came evenly.
    place : tuple of float
        Row and column of what flickers, as shares of the picture. [1]
    shutter : Shutter
        What is known of how the pictures were taken.
    rows : int
        Rows of cells in a picture. [1]
    sure : bool
        Whether what is left may be decided on.

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
            _leaves(one, marks, noise=noise),
        )
        for one in likely[:MOST]
    )
    share = explained(best, noise=noise)
    pace = np.array(track.rev_s)
    in_part = widest_gap(best.phase) > PART_SEEN
    once = apparent(best.rate, rate) * length < ONCE
    on_fold = once or (even and _at_a_fold(best.rate, pace * marks, rate=rate, length=length))
    return LightResult(
        candidates=candidates,
        decided=bool(
            sure
            and likely[0].weight >= DECIDING
            and share >= EXPLAINED
            and not (on_fold or in_part)
            and steady.u <= VAGUE * steady.value
        ),
        steady=steady,
        track=track,
        frame_rate=rate,
        even=bool(even),
        place=place,
        explained=share,
        low=float(pace.min()),
        high=float(pace.max()),
        drift=float(np.polyfit(track.t_s, pace, 1)[0]) if len(pace) > 2 else 0.0,
        duration=length,
        notes=tuple(_notes(len(likely), share=share, on_fold=on_fold, in_part=in_part, even=even)),
        asks=_asks(likely, rate=rate, marks=marks, shutter=shutter, sure=sure),
    )


def apparent(frequency: Any, rate: Any) -> Any:
    """How fast it seems to go round, by eye, either way."""
    return abs((frequency + rate / 2) % rate - rate / 2)


def _at_a_fold(frequency: Any, course: Any, *, rate: Any, length: Any) -> bool:
    """Whether a rate lies too near to a fold of the frame rate, or its course leads over one."""
    slow = apparent(frequency, rate)
    near = min(slow, rate / 2 - slow) < NEAR_FOLD / length
    return bool(near or len(np.unique(np.floor(2 * course / rate))) > 1)


def _notes(count: Any, *, share: Any, on_fold: Any, in_part: Any, even: Any) -> Iterator[Any]:
    if share < EXPLAINED:
        yield Message("film.does-not-repeat")
    if on_fold:
        yield Message("film.stands-or-jumps")
    elif in_part:
        yield IN_PART
    if even and count > 1:
        yield Message("film.came-evenly")
    if count > MOST:
        yield Message("film.more-speeds", count=count - MOST)


def _leaves(one: Likely, marks: Any, *, noise: Any) -> Message:
    """What it leaves unexplained, and what the shutter must have done if this is the speed."""
    share = Amount(float(1 - explained(one.fit, noise=noise)), "share")
    exposure = Amount(float(f"{longest_exposure(one.fit, marks=marks):.2g}"), "time")
    if one.rows is None:
        return Message("film.leaves", share=share, exposure=exposure)
    readout = float(one.rows.slope / one.fit.rate)
    seconds = Amount(abs(readout), "time")
    if readout >= 0:
        return Message("film.leaves-read-down", share=share, exposure=exposure, readout=seconds)
    return Message("film.leaves-read-up", share=share, exposure=exposure, readout=seconds)


def _asks(likely: Any, *, rate: Any, marks: Any, shutter: Shutter, sure: Any) -> tuple[str, ...]:
    """What somebody could say that tells apart what is left."""
    if len(likely) < 2 and sure:
        return ()
    rows = shutter.readout_s is None and any(one.rows is not None for one in likely)
    shortest = min(longest_exposure(one.fit, marks=marks) for one in likely)
    open_for = len(likely) > 1 and shutter.exposure_s is None and shortest < 1 / rate
    return ("readout",) * rows + ("exposure",) * open_for


def _alias(frequency: Any, rate: Any) -> Message:
    """Which fold of the frame rate a rate lies in, as the mark's apparent motion shows it."""
    multiple = round(frequency / rate)
    rest = frequency - multiple * rate
    if multiple == 0:
        return Message("film.as-filmed")
    if rest >= 0:
        return Message("film.fold-over", multiple=multiple, rest=float(rest))
    return Message("film.fold-under", multiple=multiple, rest=float(-rest))


def with_standing(result: LightResult, stands: LightResult) -> LightResult:
    """What was found, and beside it a part that seems to stand: nothing in the pictures parts the two.

    Parameters
    ----------
    result : LightResult
        What fits as a part that goes round.
    stands : LightResult
        What fits as one that seems to stand or creep.

    Returns
    -------
    LightResult
        Undecided.
    """
    share = len(stands.candidates) / max(len(stands.candidates) + len(result.candidates), 1)
    both = (
        *(replace(c, weight=c.weight * (1 - share)) for c in result.candidates),
        *(replace(c, weight=share / len(stands.candidates)) for c in stands.candidates),
    )
    return replace(
        result,
        candidates=tuple(sorted(both, key=lambda c: -c.weight))[: 2 * MOST],
        decided=False,
        notes=(*stands.notes, *result.notes),
    )


def seems_to_stand(
    *, rate: float, marks: int, low: float, high: float, length: float, repeats: float = 0.5
) -> LightResult:
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
    repeats : float
        How often it may have gone round by eye without being seen to. [1]

    Returns
    -------
    LightResult
        Undecided, with the multiples that lie in the range.
    """
    speeds = [k * rate / marks for k in range(1, int(high / rate) + 1) if k * rate >= low][:MOST]
    candidates = tuple(
        Candidate(
            speed,
            repeats / length,
            1 / (len(speeds) + 1),
            Message("film.fold", multiple=round(speed * marks / rate)),
            "",
        )
        for speed in speeds
    )
    return LightResult(
        candidates,
        False,
        frame_rate=rate,
        duration=length,
        notes=(Message("film.nothing-flickers"),),
    )
