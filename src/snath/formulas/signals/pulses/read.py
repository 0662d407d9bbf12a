"""Read the speed of the shaft that made a list of pulses."""

from dataclasses import replace
from typing import Any

import numpy as np

from snath.formulas.signals.candidates import Candidate, Track
from snath.formulas.signals.pulses.edges import Edges
from snath.formulas.signals.pulses.result import PulseResult
from snath.formulas.signals.pulses.seen import Seen, seen_in
from snath.formulas.signals.pulses.wheel import repeat_length
from snath.formulas.signals.steadiness import EIGHTHS, wander
from snath.quantities.errors import InputError, within
from snath.quantities.measured import Line, Measured
from snath.quantities.message import Message

CLOCK = 75e-6  # share by which a phone's or a cheap logger's clock may be off, standard uncertainty
USUAL = (
    (1.0, 0.5),
    (0.5, 0.3),
    (2.0, 0.2),
)  # pulses a turn of a bare lead or mark; common practice, no source
LEAST_JITTER = 0.005  # of a cycle's length: what petrol engines show off load, from memory
CLOSEST, FURTHEST = 1e-6, 1e3  # s between pulses of any shaft
MANY = 1.6  # times the marks told that there may be pulses a turn, with bounces and noise
WIDEST = 0.02  # standard uncertainty over speed above which nothing is decided
ODD = 0.05  # of a mean gap by which two marks' gaps differ surely more than the two turns of a cycle; from memory
TEETH, CHANGES = Message("pulses.teeth"), Message("pulses.changes")
ONE_OF_TWO = Message("pulses.one-of-two")


def speed_from_pulses(
    t_s: Any,
    *,
    per_turn: float | None = None,
    likely: Any = USUAL,
    rev_s_low: float = 0.5,
    rev_s_high: float = 500.0,
) -> PulseResult:
    """Speed of the shaft that made these pulses.

    Parameters
    ----------
    t_s : array_like, shape (n,)
        Moments of the pulses, -1e15 to 1e15, not falling. [s]
    per_turn : float or None
        Marks a turn, 0.1 to 1000, however they are placed; half a pulse for a spark every second turn. A wheel with
        missing teeth may be told by its places as well, as the trade does. None where nobody knows. [1]
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

    References
    ----------
    .. [1] Worked out, with what it stands on, in docs/pulses.md.
    """
    t = np.atleast_1d(within("t_s", t_s, -1e15, 1e15, "s"))
    if per_turn is not None:
        within("per_turn", per_turn, 0.1, 1000)
    if (np.diff(t) < 0).any():
        raise InputError("t_s", Message("pulses.backwards"), Message("pulses.one-after-other"))
    t = t[np.concatenate([[True], np.diff(t) > 0])] if len(t) else t
    if len(t) < 4:
        return PulseResult((), False, notes=(Message("pulses.few"),))
    if not CLOSEST < (t[-1] - t[0]) / (len(t) - 1) < FURTHEST:
        return PulseResult((), False, notes=(Message("pulses.no-shaft"),))
    seen = seen_in(t - t[0], told=per_turn)
    if seen is None:
        return PulseResult((), False, notes=(Message("pulses.no-pattern"),))
    choices, conflict = _choices(seen, per_turn, likely)
    results = [_worked_out(seen, *choice) for choice in choices]
    inside = [r for r in results if r.steady and rev_s_low <= r.steady.value <= rev_s_high]
    if conflict == ONE_OF_TWO and [r.per_turn for r in inside] == [per_turn]:
        conflict = None  # it cannot turn twice as fast
    if per_turn is None and seen.round_after is None and _toothed(results, rev_s_high):
        conflict = TEETH
    return _together(inside, conflict, seen.found)


def _toothed(results: Any, rev_s_high: float) -> bool:
    """Whether more pulses come than turns can: then there are teeth, and their number is anybody's guess."""
    return any(r.steady and r.per_turn >= 1 and r.steady.value > rev_s_high for r in results)


def _choices(seen: Seen, told: Any, likely: Any) -> Any:
    """What may be marks a turn, with the places that makes and its weight, and what speaks against what was told."""
    if seen.round_after is not None:
        usual = float(seen.most if seen.empty else seen.fewest)
        scale = seen.round_after / usual
        if told is None:
            pair = (
                not seen.empty and seen.fewest == 2
            )  # two sparks of one cycle look like two marks of one turn
            if pair:
                return [(2.0, 2 * scale, 0.6), (1.0, scale, 0.4)], None
            if seen.times > 1:  # a part that looks like the whole is a turn as well as it is none
                whole = usual * seen.times
                return [(usual, seen.round_after, 0.6), (whole, whole * scale, 0.4)], None
            return [(usual, seen.round_after, 1.0)], None
        if seen.fewest <= told <= seen.most and seen.most < MANY * told:
            return [(usual if seen.empty else float(told), seen.round_after, 1.0)], None
        return [(usual, seen.round_after, 0.5), (float(told), told * scale, 0.5)], (
            Message("pulses.stated-otherwise", told=float(told), every=float(usual))
        )
    repeat = repeat_length(seen.edges.t_s, seen.edges.slot)
    if told == 2 and not _told_apart(seen.edges):
        return [(2.0, 2.0, 0.7), (1.0, 1.0, 0.3)], ONE_OF_TWO
    if told is not None:
        if repeat is None or max(repeat, told) % min(repeat, told) == 0:
            return [(float(told), float(told), 1.0)], None
        return [(float(told), float(told), 0.5), (float(repeat), float(repeat), 0.5)], (
            Message("pulses.stated-otherwise", told=float(told), every=float(repeat))
        )
    known = [(float(repeat), 0.45), (repeat / 2, 0.3)] if repeat else []
    every = [*known, *((n, w * (0.25 if repeat else 1.0)) for n, w in likely if n not in dict(known))]
    return [(n, n, weight) for n, weight in every], None


def _told_apart(edges: Edges) -> bool:
    """Whether every second gap is clearly the longer: two marks were seen, and not one of them alone."""
    step, gap = np.diff(edges.slot), np.diff(edges.t_s)
    single = step == 1
    pace = float(np.median(gap[single])) if single.any() else 0.0
    odd = edges.slot[:-1] % 2 == 1
    if not (single & odd).any() or not (single & ~odd).any():
        return False
    return bool(abs(np.median(gap[single & odd]) - np.median(gap[single & ~odd])) > ODD * pace)


def _worked_out(seen: Seen, marks: float, per_turn: float, weight: float) -> PulseResult:
    """Speed and its budget for one number of marks, which makes so many places a turn."""
    edges = seen.edges
    whole = seen.whole if seen.round_after is not None else max(round(per_turn), 1)
    first, last = _whole_turns(edges, whole)
    span = float(edges.t_s[last] - edges.t_s[first])
    turns = (edges.slot[last] - edges.slot[first]) / per_turn
    if turns <= 0 or span <= 0:
        return PulseResult((), False)
    speed = float(turns / span)
    at, pace = _turn_by_turn(edges, whole, per_turn)
    jitter, drift = _jitter(at, pace)
    lines = (
        Line(Message("budget.clock"), speed * CLOCK),
        _unsteadiness(at, pace, speed, turns, jitter),
        Line(Message("budget.pulse-edge"), speed * _edge_scatter(edges) * 2**0.5 / span),
    )
    steady = Measured(speed, tuple(line for line in lines if line.u > 0))
    missed = max(edges.empty - round((edges.slot[-1] + 1) * seen.empty / per_turn), 0)
    counted = Message("pulses.a-turn", marks=float(marks))
    why = Message("pulses.turns-in", marks=float(marks), turns=round(turns), span=span)
    candidate = Candidate(speed, steady.u, weight, counted, why)
    return PulseResult(
        candidates=(candidate,),
        decided=False,
        steady=steady,
        track=Track("crankshaft", tuple(at), tuple(pace), tuple(np.full(len(pace), steady.u))),
        per_turn=marks,
        found=seen.found,
        missed=missed,
        doubled=edges.doubled,
        span_s=(float(edges.t_s[first]), float(edges.t_s[last])),
        jitter=jitter,
        drift=drift,
        low=float(pace.min()) if len(pace) else None,
        high=float(pace.max()) if len(pace) else None,
    )


def _unsteadiness(at: Any, pace: Any, speed: Any, turns: Any, jitter: Any) -> Line:
    """What cycles that differ leave open about the speed the engine was set to."""
    cycles = max(turns / 2, 1.0)
    seen = wander(at, pace)
    usual = speed * max(jitter, LEAST_JITTER) / cycles**0.5
    return Line(Message("budget.wander"), max(seen, usual), EIGHTHS - 1 if seen > usual else None)


def _together(results: list[PulseResult], conflict: Message | None, found: Message) -> PulseResult:
    """The likeliest of several with the candidates of all."""
    if not results:
        return PulseResult((), False, found=found, notes=(Message("pulses.none-fits"),))
    total = sum(r.candidates[0].weight for r in results)
    every = sorted((r.candidates[0] for r in results), key=lambda c: -c.weight)
    shared = tuple(replace(c, weight=c.weight / total) for c in every)
    best = max(results, key=lambda r: r.candidates[0].weight)
    wide = best.steady is not None and best.steady.u > WIDEST * best.steady.value
    notes = (*((conflict,) if conflict else ()), *((CHANGES,) if wide else ()))
    return replace(best, candidates=shared, decided=len(results) == 1 and not notes, notes=notes)


def _whole_turns(edges: Edges, whole: int) -> Any:
    """First and last firm pulse that are furthest apart by a whole number of turns."""
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


def _turn_by_turn(edges: Edges, whole: int, per_turn: float) -> Any:
    """Middle and mean speed of every turn whose two ends were seen, step by step a turn on."""
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


def _jitter(at: Any, pace: Any) -> Any:
    """Scatter of single turns about a line through their neighbours, and the slope of the whole."""
    if len(pace) < 3:
        return 0.0, 0.0
    curve = pace[1:-1] - (pace[2:] + pace[:-2]) / 2
    jitter = 1.4826 * float(np.median(np.abs(curve))) / 1.5**0.5 / float(pace.mean())
    return jitter, float(np.polyfit(at, pace, 1)[0])


def _edge_scatter(edges: Edges) -> float:
    """Standard deviation of one edge's moment, from third differences of neighbours. [s]"""
    if edges.scatter is not None:
        return edges.scatter
    even = np.diff(edges.slot)
    if len(even) < 3:
        return 0.0
    run = (even[:-2] == 1) & (even[1:-1] == 1) & (even[2:] == 1)
    third = edges.t_s[3:] - 3 * edges.t_s[2:-1] + 3 * edges.t_s[1:-2] - edges.t_s[:-3]
    return 1.4826 * float(np.median(np.abs(third[run]))) / 20**0.5 if run.any() else 0.0
