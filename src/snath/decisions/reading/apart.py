"""Detect recordings that hold several steady speeds, for which one mean would mislead."""

from dataclasses import replace

from snath.decisions.reading.reading import Reading
from snath.formulas.signals.candidates import Candidate, Track
from snath.formulas.signals.plateaus import SMALLEST_STEP, Plateau, plateaus
from snath.formulas.signals.sound_answer import CHANGES
from snath.quantities.message import Amount, Message

LIKELY = 0.5  # belief in what is named at all, under which too little was heard
ROUNDING = (
    1e-9  # a sound that goes through several speeds is often believed by exactly half, and sums are rounded
)
SURE = 0.95  # share of that in one multiple, without which the speeds held are themselves in doubt
ALONE = Message("reading.stretch-alone")


def apart(reading: Reading, track: Track) -> Reading:
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
    return replace(
        reading,
        value=None,
        decided=False,
        confirmed=False,
        candidates=_candidates(held, reading.candidates[0].weight),
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


def _of_points(track: Track, method: str) -> tuple[float, ...]:
    """Doubt of single points; pulses and film give each that of the whole, in which the steps are: none is known."""
    return track.u if method == "sound" else (0.0,) * len(track.u)


def _told(one: Plateau) -> Message:
    return Message("reading.held-at", begin=one.begin, end=one.end, speed=Amount(one.rev_s, "rotation"))


def _candidates(held: tuple[Plateau, ...], belief: float) -> tuple[Candidate, ...]:
    """Each held speed, by the share of the time it was held in what is believed of the track."""
    whole = sum(one.end - one.begin for one in held)
    return tuple(
        Candidate(
            one.rev_s,
            one.u,
            belief * (one.end - one.begin) / whole,
            held_name(one),
            Message("reading.one-of-several"),
        )
        for one in held
    )
