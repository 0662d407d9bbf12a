"""How fast did the shaft turn that made these pulses?"""

from dataclasses import dataclass, replace

import numpy as np

from snath.formulas.signals.candidates import Candidate, Track
from snath.formulas.signals.edges import Edges, kept_edges
from snath.formulas.signals.steadiness import EIGHTHS, wander
from snath.formulas.signals.uneven import uneven_edges
from snath.formulas.signals.wheel import repeat_length, wheel_from_gaps
from snath.quantities.errors import InputError, within
from snath.quantities.measured import Line, Measured

CLOCK = 75e-6  # share by which a phone's or a cheap logger's clock may be off, standard uncertainty
USUAL = (
    (1.0, 0.5),
    (0.5, 0.3),
    (2.0, 0.2),
)  # pulses a turn of a bare lead or mark; common practice, no source
LEAST_JITTER = 0.005  # of a cycle's length: what petrol engines show off load, from memory
CLOSEST, FURTHEST = 1e-6, 1e3  # s between pulses of any shaft
UNEVEN = 0.15  # share of unexplained intervals from which the marks are taken for uneven
LURCHING = (
    0.25  # the same where there is one mark and nothing to be uneven: an engine may hunt from spark to spark
)


@dataclass(frozen=True, slots=True)
class PulseResult:
    """Speeds that fit a list of pulses.

    Attributes
    ----------
    candidates : tuple of Candidate
        All that fit, likeliest first.
    decided : bool
        Whether they leave one speed.
    steady : Measured or None
        Turns counted over time, with its budget. [rev/s]
    track : Track or None
        Speed turn by turn.
    per_turn : float or None
        Places a turn that the speed was worked out with.
    found : str
        What the pulses themselves say of the wheel.
    missed, doubled : int
        Pulses that were not there and that were there twice.
    span_s : (float, float)
        First and last pulse that were counted from and to, since the first of the list. [s]
    jitter : float
        Standard deviation of single turns, as a share, the slow changes taken out.
    drift : float
        Slope of a straight line through the track. [rev/s per s]
    low, high : float or None
        Range of the track. [rev/s]
    notes : tuple of str
        What to know besides.
    """

    candidates: tuple[Candidate, ...]
    decided: bool
    steady: Measured | None = None
    track: Track | None = None
    per_turn: float | None = None
    found: str = ""
    missed: int = 0
    doubled: int = 0
    span_s: tuple[float, float] = (0.0, 0.0)
    jitter: float = 0.0
    drift: float = 0.0
    low: float | None = None
    high: float | None = None
    notes: tuple[str, ...] = ()


def speed_from_pulses(t_s, *, per_turn=None, likely=USUAL, rev_s_low=0.5, rev_s_high=500.0):
    """Speed of the shaft that made these pulses.

    Parameters
    ----------
    t_s : array_like, shape (n,)
        Moments of the pulses, not falling. [s]
    per_turn : float or None
        Pulses or places of the wheel a turn, 0.1 to 1000, missing teeth counted as places or not; half a
        pulse for a spark every second turn. None where nobody knows. [1]
    likely : tuple of (float, float)
        Numbers a turn to try, with their weights, where `per_turn` is None and the pulses do not say. [1]
    rev_s_low, rev_s_high : float
        Range the speed is looked for in. [rev/s]

    Returns
    -------
    PulseResult
        With `decided` False where the pulses fit several speeds.

    Raises
    ------
    InputError
        If moments run backwards or are no numbers, or `per_turn` is outside its range.
    """
    t = np.atleast_1d(within("t_s", t_s, -1e15, 1e15, "s"))
    if per_turn is not None:
        within("per_turn", per_turn, 0.1, 1000)
    if (np.diff(t) < 0).any():
        raise InputError("t_s", "a moment before the last", "pulses must come one after the other")
    t = t[np.concatenate([[True], np.diff(t) > 0])] if len(t) else t
    if len(t) < 4:
        return PulseResult((), False, notes=("at least four pulses are needed",))
    if not CLOSEST < (t[-1] - t[0]) / (len(t) - 1) < FURTHEST:
        return PulseResult((), False, notes=("no shaft gives pulses so close together or so far apart",))
    edges = kept_edges(t - t[0])
    wheel = wheel_from_gaps(edges.slot)
    marks = None
    if wheel is None and edges.odd > (LURCHING if per_turn is not None and per_turn <= 1 else UNEVEN):
        marks, edges = uneven_edges(t - t[0], told=per_turn)
        if marks is None:
            return PulseResult((), False, notes=("the pulses follow no pattern that comes round",))
    places, found, empty = _inferred(edges, wheel, marks)
    choices, conflict = _choices(places, empty, per_turn, likely, edges, wheel)
    results = [_worked_out(edges, choice, share, found, empty) for choice, share in choices]
    inside = [r for r in results if r.steady and rev_s_low <= r.steady.value <= rev_s_high]
    return _together(inside, conflict, found)


def _inferred(edges, wheel, marks):
    """Places a turn by the pulses themselves, in words too, and how many of them are empty."""
    if wheel is not None:
        return wheel.places, f"a wheel of {wheel.places} places, {wheel.empty} of them empty", wheel.empty
    if marks is not None:
        return marks, f"{marks} marks, unevenly placed", 0
    repeat = repeat_length(edges.t_s, edges.slot)
    if repeat is None:
        return None, "evenly placed pulses", 0
    return None, f"evenly placed pulses whose unevenness comes round every {repeat}", 0


def _choices(places, empty, per_turn, likely, edges, wheel):
    """Places a turn to try with their weights, and what speaks against what was stated."""
    if places is not None:
        if per_turn is None or per_turn in (places, places - empty):
            return [(float(places), 1.0)], ""
        if wheel is None and places % per_turn == 0:  # several turns of the shaft before marks come round
            return [(float(per_turn), 1.0)], ""
        return [(float(places), 0.5), (float(per_turn), 0.5)], (
            f"{per_turn:g} a turn was stated, but the pulses come round every {places}"
        )
    if per_turn is not None:
        return [(float(per_turn), 1.0)], ""
    repeat = repeat_length(edges.t_s, edges.slot)
    seen = [(float(repeat), 0.45), (repeat / 2, 0.3)] if repeat else []
    return [*seen, *((n, w * (0.25 if repeat else 1.0)) for n, w in likely if n not in dict(seen))], ""


def _worked_out(edges: Edges, per_turn: float, weight: float, found: str, empty: int) -> PulseResult:
    """Speed and its budget for one number of places a turn."""
    first, last = _whole_turns(edges, per_turn)
    span = float(edges.t_s[last] - edges.t_s[first])
    turns = (edges.slot[last] - edges.slot[first]) / per_turn
    if turns <= 0 or span <= 0:
        return PulseResult((), False)
    speed = float(turns / span)
    at, pace = _turn_by_turn(edges, per_turn)
    jitter, drift = _jitter(at, pace)
    lines = (
        Line("phone clock", speed * CLOCK),
        _unsteadiness(at, pace, speed, turns, jitter),
        Line("pulses: moment of a single edge", speed * _edge_scatter(edges) * 2**0.5 / span),
    )
    steady = Measured(speed, tuple(line for line in lines if line.u > 0))
    missed = max(edges.empty - round((edges.slot[-1] + 1) * empty / per_turn), 0)
    why = f"{per_turn:g} a turn, {turns:.0f} turns in {span:.2f} s"
    candidate = Candidate(speed, steady.u, weight, f"{per_turn:g} a turn", why)
    return PulseResult(
        candidates=(candidate,),
        decided=False,
        steady=steady,
        track=Track("crankshaft", tuple(at), tuple(pace), tuple(np.full(len(pace), steady.u))),
        per_turn=per_turn,
        found=found,
        missed=missed,
        doubled=edges.doubled,
        span_s=(float(edges.t_s[first]), float(edges.t_s[last])),
        jitter=jitter,
        drift=drift,
        low=float(pace.min()) if len(pace) else None,
        high=float(pace.max()) if len(pace) else None,
    )


def _unsteadiness(at, pace, speed, turns, jitter) -> Line:
    """What cycles that differ leave open about the speed the engine was set to."""
    cycles = max(turns / 2, 1.0)
    seen = wander(at, pace)
    usual = speed * max(jitter, LEAST_JITTER) / cycles**0.5
    return Line("cycle jitter and wander", max(seen, usual), EIGHTHS - 1 if seen > usual else None)


def _together(results: list[PulseResult], conflict: str, found: str) -> PulseResult:
    """The likeliest of several with the candidates of all."""
    if not results:
        return PulseResult((), False, found=found, notes=("no speed in the range fits the pulses",))
    total = sum(r.candidates[0].weight for r in results)
    every = sorted((r.candidates[0] for r in results), key=lambda c: -c.weight)
    shared = tuple(replace(c, weight=c.weight / total) for c in every)
    best = max(results, key=lambda r: r.candidates[0].weight)
    alone = len(results) == 1 and not conflict
    return replace(best, candidates=shared, decided=alone, notes=(conflict,) if conflict else ())


def _whole_turns(edges: Edges, per_turn: float):
    """First and last firm pulse that are furthest apart by a whole number of turns."""
    whole = max(round(per_turn), 1)
    firm = (
        np.flatnonzero(edges.firm) if edges.firm.sum() > len(edges.firm) / 4 else np.arange(len(edges.slot))
    )
    slot = edges.slot[firm]
    best = (0, 0)
    for first in range(min(len(slot), 2 * whole)):
        last = int(np.flatnonzero((slot - slot[first]) % whole == 0)[-1])
        if slot[last] - slot[first] > slot[best[1]] - slot[best[0]]:
            best = (first, last)
    return int(firm[best[0]]), int(firm[best[1]])


def _turn_by_turn(edges: Edges, per_turn: float):
    """Middle and mean speed of every turn whose two ends were seen, step by step a turn on."""
    whole = max(round(per_turn), 1)
    where = {int(s): i for i, s in enumerate(edges.slot)}
    starts = [s for s in where if s + whole in where]
    chosen, after = [], -1
    for s in starts:
        if s >= after:
            chosen.append(s)
            after = s + whole
    begin = edges.t_s[[where[s] for s in chosen]]
    end = edges.t_s[[where[s + whole] for s in chosen]]
    return (begin + end) / 2, whole / per_turn / (end - begin)


def _jitter(at, pace):
    """Scatter of single turns about a line through their neighbours, and the slope of the whole."""
    if len(pace) < 3:
        return 0.0, 0.0
    curve = pace[1:-1] - (pace[2:] + pace[:-2]) / 2
    jitter = 1.4826 * float(np.median(np.abs(curve))) / 1.5**0.5 / float(pace.mean())
    return jitter, float(np.polyfit(at, pace, 1)[0])


def _edge_scatter(edges: Edges) -> float:
    """Standard deviation of one edge's moment, from third differences of neighbours. [s]"""
    even = np.diff(edges.slot)
    if len(even) < 3:
        return 0.0
    run = (even[:-2] == 1) & (even[1:-1] == 1) & (even[2:] == 1)
    third = edges.t_s[3:] - 3 * edges.t_s[2:-1] + 3 * edges.t_s[1:-2] - edges.t_s[:-3]
    return 1.4826 * float(np.median(np.abs(third[run]))) / 20**0.5 if run.any() else 0.0
