"""Put all stretches into one answer: the speeds that fit, how likely each is, mean, budget and course."""

import math

import numpy as np
from numpy.typing import NDArray

from snath.formulas.signals.aliases import same_sound
from snath.formulas.signals.candidates import Candidate, Event, Orders, Track
from snath.formulas.signals.sound_belief import doubted, shared, usual
from snath.formulas.signals.sound_course import Heard
from snath.formulas.signals.sound_even import slope_of
from snath.formulas.signals.sound_follow import USUAL_JITTER
from snath.formulas.signals.sound_hum import in_step_with_mains
from snath.formulas.signals.sound_judge import BEYOND
from snath.formulas.signals.sound_plan import plan_of
from snath.formulas.signals.sound_result import SoundResult
from snath.formulas.signals.sound_swing import hunting, no_one_speed, wandered
from snath.quantities.measured import Line, Measured
from snath.quantities.message import Message, term

PHONE_CLOCK = (
    75e-6  # share by which a phone's clock may be off, standard uncertainty; from memory of crystal data
)
DECIDED = 0.95
CYCLES = 8.0  # of its own under which no engine is decided: nothing has come back often enough to be told
NARROW = 2.05  # highest over lowest of a range that can decide where the firing is unknown
FINAL, FELL = 5, 0.9  # frames at the end, and share of the highest speed under which one fell
HALF = 0.5  # share of the recording in which an engine must be heard, or known to run down, to speak for all of it
CHANGES, SECOND, IN_PART = Message("sound.changes"), Message("sound.second"), Message("sound.in-part")
BY_THE_MAINS = Message("sound.by-the-mains")


def nothing(duration: float, why: Message) -> SoundResult:
    """The answer where no speed can be told."""
    gaps = ((0.0, duration),) if duration > 0 else ()
    return SoundResult(
        Track("crankshaft", (), (), (), gaps), None, (), False, duration=duration, notes=(why,)
    )


def answered(
    heard: list[tuple[float, Heard]], orders: Orders, duration: float, notes: tuple[Message, ...]
) -> SoundResult:
    """One answer from all stretches, each with the time it begins."""
    known = orders.cycle_turns is not None and orders.firings is not None
    plan = plan_of(orders)
    turns = plan.turns
    weights = [
        shared(usual(doubted(one.evidence, one.unlike), one.mean, orders), one.worth) for _, one in heard
    ]
    spans = np.array([one.end - one.start for _, one in heard])
    if not any(weights):
        return nothing(duration, Message("sound.no-comb"))
    tops = [max(weight, key=lambda f: weight[f]) if weight else 1.0 for weight in weights]
    means = np.array([one.mean * top for (_, one), top in zip(heard, tops, strict=True)])
    surest = int(np.argmax([spans[i] * (weights[i].get(tops[i], 0.0)) for i in range(len(heard))]))
    near = np.abs(np.log(means / means[surest])) < 0.25
    mean = float(np.average(means[near], weights=spans[near]))
    budget = _budget(heard, tops, near, spans, mean, turns)
    u = Measured(mean, budget).u
    candidates: list[Candidate] = []
    for factor, share in weights[surest].items():
        speed = mean * factor / tops[surest]
        if known:
            if plan.low / BEYOND <= speed <= plan.high * BEYOND:
                candidates.append(
                    Candidate(speed, u * speed / mean, share, _order(factor / tops[surest]), _why(share))
                )
            continue
        fits = same_sound(cycle_rate=speed / turns, rev_s_low=orders.rev_s_low, rev_s_high=orders.rev_s_high)
        prior = sum(how.prior for _, how in fits)
        candidates += [
            Candidate(
                value,
                u * value / mean,
                share * how.prior / prior,
                term("firing", how.name),
                Message("sound.firings-fit"),
            )
            for value, how in fits
        ]
    ranked = _merged(candidates)
    if not ranked:
        return nothing(duration, Message("sound.fits-none"))
    best = ranked[0]
    scale = best.rev_s / mean
    track = _track(heard, tops, scale, duration)
    settled = [one for i, (_, one) in enumerate(heard) if near[i]]
    runs = np.concatenate([(one.t + begin >= begin + one.start) & (one.t < one.end) for begin, one in heard])[
        np.concatenate([one.audible for _, one in heard])
    ]
    t, run, doubt = (np.array(one)[runs] for one in (track.t_s, track.rev_s, track.u))
    narrow = orders.rev_s_high < NARROW * orders.rev_s_low
    unsteady = len(run) > 4 and no_one_speed(t, run)
    partly = sum(_share_run(one) for one in settled) < HALF * sum(len(one.t) for _, one in heard)
    other = any(one.second for one in settled) and not unsteady  # its own lines stand apart where it changes
    hum = in_step_with_mains(best.rev_s) and all(one.jitter == 0.0 for one in settled)  # as no engine fires
    seen = ((BY_THE_MAINS, hum), (SECOND, other), (CHANGES, unsteady), (IN_PART, partly))
    doubts = [why for why, there in seen if there]
    inside = orders.rev_s_low <= best.rev_s <= orders.rev_s_high
    followed = all(one.in_step and not one.lost for one in settled)
    enough = best.rev_s / turns * float(spans[near].sum()) >= CYCLES
    decided = best.weight >= DECIDED and not doubts and (known or narrow) and inside and followed and enough
    ratio = settled[0].ratio.get(tops[surest]) if known and settled and decided else None
    return SoundResult(
        track=track,
        steady=Measured(
            best.rev_s, tuple(Line(k.source, k.u * scale, k.dof, k.distribution) for k in budget)
        ),
        candidates=ranked,
        decided=decided,
        driven_ratio=Measured(ratio[0], (Line(Message("budget.blade-tone"), float(ratio[1])),))
        if ratio
        else None,
        low=float((run - doubt).min()) if len(run) else None,
        high=float((run + doubt).max()) if len(run) else None,
        drift=slope_of(t, run) if len(t) > 2 else 0.0,
        hunting=hunting(t, run),
        duration=duration,
        stretch=_stretch(heard, near),
        notes=(*doubts, *notes),
    )


def _stretch(heard: list[tuple[float, Heard]], near: NDArray[np.bool_]) -> tuple[float, float]:
    """From when to when the mean was taken. [s]"""
    chosen = [(begin + one.start, begin + one.end) for i, (begin, one) in enumerate(heard) if near[i]]
    return float(chosen[0][0]), float(chosen[-1][1])


def _share_run(one: Heard) -> float:
    """How many frames of a stretch the engine ran or ran down in."""
    return float(np.sum((one.t >= one.start) & ((one.t < one.end) | (one.released is not None))))


def _running(one: Heard) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Times and speeds of the frames in which the engine runs. [s], [rev/s]"""
    runs = one.audible & (one.t >= one.start) & (one.t < one.end)
    return one.t[runs], one.speed[runs]


def _merged(candidates: list[Candidate]) -> tuple[Candidate, ...]:
    """Candidates of nearly the same speed added up, likeliest first."""
    kept: list[Candidate] = []
    for one in sorted(candidates, key=lambda c: -c.weight):
        for i, other in enumerate(kept):
            if abs(one.rev_s / other.rev_s - 1) < 0.004:
                kept[i] = Candidate(
                    other.rev_s, other.u, min(other.weight + one.weight, 1.0), other.order, other.why
                )
                break
        else:
            kept.append(one)
    return tuple(sorted(kept, key=lambda c: -c.weight))


def _budget(
    heard: list[tuple[float, Heard]],
    tops: list[float],
    near: NDArray[np.bool_],
    spans: NDArray[np.float64],
    mean: float,
    turns: int,
) -> tuple[Line, ...]:
    """One line per cause. [rev/s]"""
    chosen = [i for i in range(len(heard)) if near[i]]
    total = float(spans[near].sum())
    noise = math.sqrt(sum((spans[i] * heard[i][1].u_noise * tops[i]) ** 2 for i in chosen)) / total
    jitter = max(sum(spans[i] * heard[i][1].jitter for i in chosen) / total, USUAL_JITTER)
    cycles = max(mean / turns * total, 1.0)
    uneven = mean * jitter / math.sqrt(cycles)
    own = [min(heard[i][1].jitter, USUAL_JITTER) * uneven / jitter / tops[i] for i in chosen]
    strayed = [
        tops[i] * wandered(*_running(heard[i][1]), jitter=one) for i, one in zip(chosen, own, strict=True)
    ]
    within = math.sqrt(sum((spans[i] * one) ** 2 for i, one in zip(chosen, strayed, strict=True))) / total
    return (
        Line(Message("budget.clock"), mean * PHONE_CLOCK),
        Line(Message("budget.wander"), math.hypot(uneven, within)),
        Line(Message("budget.sound-noise"), float(noise)),
    )


def _track(heard: list[tuple[float, Heard]], tops: list[float], scale: float, duration: float) -> Track:
    """Course of the likeliest speed, with what could not be told as gaps, and the moment of release."""
    t = np.concatenate([one.t + begin for begin, one in heard])
    speed = np.concatenate([one.speed * top for (_, one), top in zip(heard, tops, strict=True)]) * scale
    u = np.concatenate([one.u * top for (_, one), top in zip(heard, tops, strict=True)]) * scale
    audible = np.concatenate([one.audible for _, one in heard])
    events = tuple(Event(begin + one.released, "release") for begin, one in heard if one.released is not None)
    if not events and audible.any() and speed[audible][-FINAL:].mean() < FELL * speed[audible].max():
        events = (Event(float(t[audible][-1]), "firing"),)  # slower than it was, and not let go
    edges = np.flatnonzero(np.diff(np.concatenate([[1], audible.astype(int), [1]])))
    half = (t[1] - t[0]) / 2 if len(t) > 1 else 0.0
    gaps = tuple(
        (float(t[a] - half), float(min(t[b - 1] + half, duration)))
        for a, b in zip(edges[::2], edges[1::2], strict=True)
    )
    return Track(
        "crankshaft",
        tuple(t[audible].tolist()),
        tuple(speed[audible].tolist()),
        tuple(u[audible].tolist()),
        gaps,
        events,
    )


def _order(factor: float) -> Message:
    if abs(factor - 1) < 1e-6:
        return Message("sound.comb-as-tracked")
    return Message("sound.comb-at", times=float(f"{factor:.3g}"))


def _why(share: float) -> Message:
    return Message("sound.lines-there") if share > 0.5 else Message("sound.lines-missing")
