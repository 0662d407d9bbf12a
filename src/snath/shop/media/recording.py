"""From a file to one reading: which method it needs, and what that method says of it."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Literal

from snath.decisions.machine.parts import CRANKSHAFT, Condition, Machine
from snath.decisions.reading.merge import orders_from_machine, reading_from_sound
from snath.decisions.reading.pulse_reading import likely_per_turn, reading_from_pulses, sparks_per_turn
from snath.decisions.reading.reading import Reading
from snath.formulas.signals.candidates import Track
from snath.formulas.signals.pulses import PulseResult, speed_from_pulses
from snath.formulas.signals.sound import speed_from_sound
from snath.formulas.signals.sound_result import SoundResult
from snath.quantities.errors import InputError
from snath.shop.media.door import Source, fingerprint
from snath.shop.media.film import streams
from snath.shop.media.pulse_log import looks_like_text, pulse_log
from snath.shop.media.sound import Samples, SoundStream, sound_stream, whole

Kind = Literal["sound", "pulses", "light"]
Progress = Callable[[float, float | None], None]  # seconds read so far, and of how many

LOWEST, HIGHEST = 0.5, 500.0  # rev/s looked for where no sheet narrows it
SHORT_S = 120.0  # up to here a recording is kept whole, for its picture


@dataclass(frozen=True, slots=True)
class Asked:
    """What somebody said about a recording.

    Attributes
    ----------
    kind : str or None
        How to read it; None lets the file decide.
    machine : Machine or None
        Whose sheet tells strokes, firing and ratios.
    shaft : str
        Where it was taken.
    condition : str
        blades off, blades in air, cutting or peak.
    per_turn : float, "spark" or None
        Pulses a turn, or "spark" for what the sheet's ignition gives.
    clock : float or None
        Counts a second of a pulse log. [Hz]
    """

    kind: Kind | None = None
    machine: Machine | None = None
    shaft: str = CRANKSHAFT
    condition: Condition = "blades in air"
    per_turn: float | Literal["spark"] | None = None
    clock: float | None = None


@dataclass(frozen=True, slots=True)
class Read:
    """What a recording says.

    Attributes
    ----------
    reading : Reading
        One speed, or an undecided one with its candidates.
    kind : str
        How it was read.
    seconds : float
        Length of what was read. [s]
    result : SoundResult or PulseResult
        All that the method found.
    track : Track or None
        Speed over time, where it was found.
    notes : tuple of str
        What to know of the file besides.
    """

    reading: Reading
    kind: Kind
    seconds: float
    result: SoundResult | PulseResult
    track: Track | None
    notes: tuple[str, ...] = ()


def read_recording(source: Source, asked: Asked | None = None, *, progress: Progress | None = None) -> Read:
    """Read a file by the method it needs.

    Raises
    ------
    InputError
        Where the file cannot be read, or what was said of it is wrong.
    """
    asked = asked or Asked()
    kind = asked.kind or kind_of(source)
    evidence = fingerprint(source)
    if kind == "pulses":
        return _pulses(source, asked, evidence)
    if kind == "sound":
        return _sound(source, asked, evidence, progress)
    raise InputError("as", kind, "must be sound or pulses")


def kind_of(source: Source) -> Kind:
    """Text is a pulse log; a recording with sound is listened to, a silent film looked at."""
    if looks_like_text(source):
        return "pulses"
    held = streams(source)
    return "sound" if held.sound or not held.film else "light"


def _pulses(source: Source, asked: Asked, evidence: str) -> Read:
    log = pulse_log(source, clock=asked.clock)
    per_turn = asked.per_turn
    if per_turn == "spark":
        if asked.machine is None:
            raise InputError("per turn", "spark", "needs a machine sheet, or type the number")
        per_turn = sparks_per_turn(asked.machine.engine)
    orders = orders_from_machine(asked.machine)
    known = asked.machine is not None and asked.shaft == CRANKSHAFT
    result = speed_from_pulses(
        log.t_s,
        per_turn=per_turn,
        likely=likely_per_turn(asked.machine),
        rev_s_low=orders.rev_s_low if known else LOWEST,
        rev_s_high=orders.rev_s_high if known else HIGHEST,
    )
    reading = reading_from_pulses(result, shaft=asked.shaft, condition=asked.condition, evidence=evidence)
    seconds = float(log.t_s[-1] - log.t_s[0])
    return Read(reading, "pulses", seconds, result, result.track, result.notes)


def _sound(source: Source, asked: Asked, evidence: str, progress: Progress | None) -> Read:
    stream = sound_stream(source)
    counted = _counted(stream, progress)
    short = stream.seconds is not None and stream.seconds <= SHORT_S
    samples = whole(counted) if short else counted.blocks
    result = speed_from_sound(samples, stream.rate, orders_from_machine(asked.machine))
    reading = reading_from_sound(
        result, asked.machine, shaft=asked.shaft, condition=asked.condition, evidence=evidence
    )
    return Read(reading, "sound", result.duration, result, result.track, (*result.notes, *stream.notes))


def _counted(stream: SoundStream, progress: Progress | None) -> SoundStream:
    """The same stream, telling how far it has come."""
    if progress is None:
        return stream
    inner, done = stream.blocks, 0

    def told() -> Iterator[Samples]:
        nonlocal done
        for block in inner:
            done += len(block)
            progress(done / stream.rate, stream.seconds)
            yield block

    stream.blocks = told()
    return stream
