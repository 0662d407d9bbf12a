"""How fast does a filmed part turn, from the flicker of its mark?"""

from dataclasses import dataclass, replace

import numpy as np

from snath.formulas.signals.candidates import Candidate, Track
from snath.formulas.signals.flicker_fit import FlickerFit, follow
from snath.formulas.signals.flicker_region import flickering
from snath.formulas.signals.flicker_search import likely_paths, straight_paths
from snath.formulas.signals.frame_times import evened, folds, frame_rate, only_rounded
from snath.formulas.signals.steadiness import wander
from snath.quantities.errors import InputError, within
from snath.quantities.measured import Line, Measured

CLOCK = 75e-6  # share by which a phone's clock may be off, standard uncertainty
CYCLE_JITTER = 0.005  # share by which one working cycle may differ from the next; common practice, no source
MOST = 5  # candidates shown
CLEARLY = 0.5  # from here a mark counts as seen to go round
ROUND = 60.0  # what not going round with it costs a fit, as twice a log-likelihood
LEAST_WEIGHT = 1e-3
DECIDING = 0.99  # least weight of the one that is decided on
EXPLAINED = 0.7  # least share of the flicker that a speed must explain
REPEATED = 2.5  # times a mark must have gone round by eye before its creep is a figure
NEAR_FOLD = 3.0  # times one over the length: closer than this to a fold, a part seems to stand or to jump
LEAST_FRAMES = 24
SLOWEST = 0.3  # Hz of apparent motion; slower counts as standing
LEAST_GAIN = 0.05  # share that must be explained better, beyond what two searches differ by
EVEN = 12.0  # gain in log-likelihood from which uneven time stamps are believed


@dataclass(frozen=True, slots=True)
class LightResult:
    """Speeds that fit a film.

    Attributes
    ----------
    candidates : tuple of Candidate
        All that fit, likeliest first, at most `MOST`.
    decided : bool
        Whether they leave one speed.
    steady : Measured or None
        Mean speed of the likeliest, with its budget. [rev/s]
    track : Track or None
        Its speed over time.
    frame_rate : float
        Frames a second. [1/s]
    even : bool
        Whether the frames came evenly, so that aliases look alike.
    place : tuple of float
        Row and column of what flickers, as shares of the picture.
    explained : float
        Share of the flicker that the likeliest explains.
    low, high, drift : float or None
        Range of the track and slope of a line through it. [rev/s], [rev/s], [rev/s per s]
    duration : float
        Length of what was used. [s]
    notes : tuple of str
        What to know besides.
    """

    candidates: tuple[Candidate, ...]
    decided: bool
    steady: Measured | None = None
    track: Track | None = None
    frame_rate: float = 0.0
    even: bool = True
    place: tuple[float, float] = (0.5, 0.5)
    explained: float = 0.0
    low: float | None = None
    high: float | None = None
    drift: float | None = None
    duration: float = 0.0
    notes: tuple[str, ...] = ()


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
        return _standing(rate, marks, low, high, length)
    total = max(float(((series - series.mean(axis=0)) ** 2).sum()) - noise, 1e-9)
    fits, even = _chosen(t, series, rate, low, high)
    if not fits:
        return LightResult((), False, frame_rate=rate, place=place, duration=length, notes=(NOTHING,))
    best = min(fits, key=_cost)
    apparent = abs((best.rate + rate / 2) % rate - rate / 2)
    if even and apparent * length < REPEATED:
        return _standing(rate, marks, low, high, length)
    if exposure_s:
        sharp = [f for f in fits if f.rate / marks * exposure_s <= 1.2 * f.width / marks + 0.02]
        fits = sharp or fits
    return _result(fits, rate, marks, total, noise, even=even, place=place, angle=angle)


NOTHING = "nothing flickers regularly at a speed in the range"


def _chosen(t, series, rate, low, high) -> tuple[list[FlickerFit], bool]:
    """What fits in the range, and whether the frames came evenly, so that every fold fits alike."""
    even_t = evened(t)
    if high <= rate / 2 and only_rounded(t):  # nothing folds into the range
        return _fits(even_t, series, low, high), True
    as_even = _fits(even_t, series, SLOWEST, rate / 2)
    as_stamped = _fits(even_t if only_rounded(t) else t, series, low, high)
    # Each search may have missed what the other saw: hand the best of each over to the other.
    seen = _all_folds(as_stamped[:2], even_t, rate, SLOWEST, rate / 2)
    as_even = _added(as_even, even_t, series, [f.phase for f in seen], SLOWEST, rate / 2)
    if only_rounded(t):
        return _all_folds(as_even, even_t, rate, low, high), True
    seen = _all_folds(as_even[:2], t, rate, low, high)
    as_stamped = _added(as_stamped, t, series, [f.phase for f in seen], low, high)
    if not as_even or not as_stamped:
        return as_stamped, False
    # Stamps that explain hardly more than an even clock does are rounded readings of one.
    gain = _least(as_even) - _least(as_stamped)
    if len(t) * gain < EVEN or gain < LEAST_GAIN:
        return _all_folds(as_even, even_t, rate, low, high), True
    return as_stamped, False


def _fits(t, series, low, high) -> list[FlickerFit]:
    """Every likely path followed, and half and twice the best ones; least left over first."""
    starts = [
        *straight_paths(t, series, low=low, high=high),
        *likely_paths(t, series, low=low, high=high),
    ]
    fits = _added([], t, series, starts, low, high)
    return _added(fits, t, series, [f.phase * part for f in fits[:2] for part in (0.25, 0.5, 2.0)], low, high)


def _added(fits: list[FlickerFit], t, series, starts, low, high) -> list[FlickerFit]:
    """The fits with those from further starts; of nearly equal ones the best stays."""
    every = fits + [follow(t, series, phase=start) for start in starts]
    kept: list[FlickerFit] = []
    for fit in sorted(every, key=lambda f: f.left):
        if low * 0.98 <= fit.rate <= high * 1.02 and not any(abs(fit.rate - f.rate) < 0.3 for f in kept):
            kept.append(fit)
    return kept


def _least(fits: list[FlickerFit]) -> float:
    """Logarithm of the least that is left unexplained."""
    return float(np.log(min(fit.left for fit in fits) + 1e-12))


def _all_folds(fits: list[FlickerFit], t, rate, low, high) -> list[FlickerFit]:
    """What evenly spaced frames show alike: the same fit at every fold of the frame rate, at these times.

    The phase is taken as a smooth course and read anew at the times: read off frame by frame it would
    carry the unevenness of one set of times over to the other.
    """
    found: list[FlickerFit] = []
    for fit in fits:
        phase = np.interp(t, fit.t_s, fit.phase)
        for frequency in folds(frequency=fit.rate, rate=rate, low=low, high=high):
            multiple = round((frequency - fit.rate) / rate)
            same = abs(frequency - fit.rate - multiple * rate) < 1e-6
            if not same:
                multiple = round((frequency + fit.rate) / rate)
            turned = multiple * rate * (t - t[0]) + (phase if same else -phase)
            found.append(replace(fit, rate=frequency, t_s=t, phase=turned))
    return found


def _cost(fit: FlickerFit) -> float:
    """Bayesian information criterion of one course, up to a constant (from memory: Schwarz 1978)."""
    frames = len(fit.t_s)
    return float(frames * np.log(fit.left + 1e-12) + fit.rank * np.log(frames))


def _round_and_round(fit: FlickerFit, angle) -> float:
    """How far the mark is seen to go round with a fit, 0 to 1, whichever way it turns.

    Near a simple fraction of the frame rate other rates explain the same pictures in another order; only
    the places of the mark tell which order goes round.
    """
    both = (np.exp(2j * np.pi * (angle + sense * fit.phase)).mean() for sense in (1, -1))
    return float(max(abs(one) for one in both))


def _result(fits, rate, marks, total, noise, *, even, place, angle) -> LightResult:
    length = float(fits[0].t_s[-1] - fits[0].t_s[0])
    seen = np.array([_round_and_round(fit, angle) for fit in fits])
    cost = np.array([_cost(fit) for fit in fits]) + ROUND * (seen.max() - seen) * (seen.max() > CLEARLY)
    weight = np.exp(-(cost - cost.min()) / 2)
    weight /= weight.sum()
    fitting = [i for i in np.argsort(-weight, kind="stable") if weight[i] > LEAST_WEIGHT]
    order = fitting[:MOST]
    best = fits[order[0]]
    steady, track = _steady(best, marks)
    candidates = tuple(
        Candidate(
            fits[i].rate / marks,
            steady.u * fits[i].rate / best.rate,
            float(weight[i]),
            _alias(fits[i].rate, rate),
            f"leaves {max(fits[i].left - noise, 0.0) / total:.1%} of the flicker unexplained",
        )
        for i in order
    )
    explained = min(max(1 - (best.left - noise) / total, 0.0), 1.0)
    apparent = abs((best.rate + rate / 2) % rate - rate / 2)
    on_fold = even and min(apparent, rate / 2 - apparent) < NEAR_FOLD / length
    notes = []
    if explained < EXPLAINED:
        notes.append("most of what flickers does not repeat; film from a stand, closer, in even light")
    if on_fold:
        notes.append(
            "the part seems to stand or to jump between two places: too near a multiple of the frame rate"
        )
    if even and len(candidates) > 1:
        notes.append("the frames came evenly, so these speeds look the same")
    if len(fitting) > MOST:
        notes.append(f"{len(fitting) - MOST} more speeds of the range would look the same too")
    pace = np.array(track.rev_s)
    return LightResult(
        candidates=candidates,
        decided=bool(weight.max() >= DECIDING and explained >= EXPLAINED and not on_fold),
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
        notes=tuple(notes),
    )


def _steady(fit: FlickerFit, marks: int) -> tuple[Measured, Track]:
    """Mean speed with its budget, and the speed stretch by stretch."""
    length = float(fit.t_s[-1] - fit.t_s[0])
    edges = np.linspace(fit.t_s[0], fit.t_s[-1], max(int(length / 0.1), 4) + 1)
    pace = np.diff(np.interp(edges, fit.t_s, fit.phase)) / np.diff(edges) / marks
    middle = (edges[1:] + edges[:-1]) / 2
    speed = fit.rate / marks
    cycles = max(speed * length / 2, 1.0)
    lines = (
        Line("phone clock", speed * CLOCK),
        Line("cycle jitter and wander", max(wander(middle, pace), speed * CYCLE_JITTER / cycles**0.5)),
        Line("light: noise of the pictures", 2**0.5 * fit.phase_u / length / marks),
    )
    steady = Measured(speed, lines)
    return steady, Track("crankshaft", tuple(middle), tuple(pace), tuple(np.full(len(pace), steady.u)))


def _alias(frequency, rate) -> str:
    """Which fold of the frame rate a rate lies in, as the mark's apparent motion shows it."""
    multiple = round(frequency / rate)
    rest = frequency - multiple * rate
    if multiple == 0:
        return "mark, as filmed"
    return f"mark, {multiple} x the frame rate {'+' if rest >= 0 else '-'} {abs(rest):.2f}/s"


def _standing(rate, marks, low, high, length) -> LightResult:
    """Nothing flickers: it stands, or turns at a multiple of the frame rate."""
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
