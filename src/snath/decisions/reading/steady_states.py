"""Detect recordings that hold several steady speeds, for which one mean would mislead."""

from dataclasses import replace

from snath.decisions.reading.reading import Reading
from snath.formulas.signals.candidates import Candidate, Plateau, Track
from snath.formulas.signals.plateaus import SHORTEST_S, SMALLEST_STEP, plateaus
from snath.formulas.signals.sound_answer import CHANGES
from snath.quantities.message import Amount, Message

LIKELY = 0.5  # belief in what is named at all, under which too little was heard
# a sound that goes through several speeds is often believed by exactly half, and sums are rounded
ROUNDING = 1e-9
FRAME_S = 0.2  # a sound's point is heard over as much to each side, so beside a change it holds both speeds
SURE = 0.95  # share of that in one multiple, without which the speeds held are themselves in doubt
ALONE = Message("reading.stretch-alone")


def split_steady_states(reading: Reading, track: Track) -> Reading:
    """The reading as it is where one speed is held, else an undecided one that names each with its times.

    A hunting engine swings about one speed; a step alone may look like a slow swing, so where several speeds
    are held the swing is not told. Where several multiples fit, that is told first. The mean of a speed that
    changes too much is no candidate.
    """
    if not _one_multiple(reading):
        return reading
    held = plateaus(t_s=track.t_s, rev_s=track.rev_s, u=_of_points(track, reading.method))
    speeds = [one.rev_s for one in held]
    if len(held) < 2 or max(speeds) - min(speeds) <= SMALLEST_STEP * min(speeds):
        return replace(reading, candidates=()) if reading.why == CHANGES else reading
    shares = tuple(one.end - one.begin for one in held)
    if reading.method == "sound":
        held = _clear_of_changes(held)
    return replace(
        reading,
        value=None,
        decided=False,
        confirmed=False,
        candidates=_candidates(held, shares, reading.candidates[0].weight),
        plateaus=held,
        lowest=None,
        highest=None,
        hunting=None,
        why=Message("reading.several-held", each=tuple(_told(one) for one in held)),
        next_steps=(ALONE,),
    )


def held_name(one: Plateau) -> Message:
    """What a held speed is called: by its times."""
    return Message("reading.held", begin=one.begin, end=one.end)


def _one_multiple(reading: Reading) -> bool:
    named = sum(one.weight for one in reading.candidates)
    return named >= LIKELY - ROUNDING and reading.candidates[0].weight >= SURE * named


def _clear_of_changes(held: tuple[Plateau, ...]) -> tuple[Plateau, ...]:
    """The same without the ends that touch another speed, so that each can be read alone."""
    last = len(held) - 1
    ends = (
        (one.begin + FRAME_S * (place > 0), one.end - FRAME_S * (place < last))
        for place, one in enumerate(held)
    )
    return tuple(
        replace(one, begin=begin, end=end) if end - begin >= SHORTEST_S else one
        for one, (begin, end) in zip(held, ends, strict=True)
    )


def _of_points(track: Track, method: str) -> tuple[float, ...]:
    """Doubt of single points; pulses and film give each that of the whole, in which the steps are: none is known."""
    return track.u if method == "sound" else (0.0,) * len(track.u)


def _told(one: Plateau) -> Message:
    return Message("reading.held-at", begin=one.begin, end=one.end, speed=Amount(one.rev_s, "rotation"))


def _candidates(
    held: tuple[Plateau, ...], seconds: tuple[float, ...], belief: float
) -> tuple[Candidate, ...]:
    """Each held speed, by the share of the time it was held in what is believed of the track."""
    whole = sum(seconds)
    return tuple(
        Candidate(
            one.rev_s,
            one.u,
            belief * lasted / whole,
            held_name(one),
            Message("reading.one-of-several"),
        )
        for one, lasted in zip(held, seconds, strict=True)
    )
