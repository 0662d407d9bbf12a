"""From a file to one reading: which method it needs, and what that method says of it."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Literal

import numpy as np

from snath.decisions.machine.parts import CRANKSHAFT, Condition, Machine
from snath.decisions.reading.apart import apart
from snath.decisions.reading.compared import Comparison, with_comparisons
from snath.decisions.reading.fuse import fuse
from snath.decisions.reading.heard_at import heard_at, heard_ratio, track_at
from snath.decisions.reading.light_reading import across_capture_rates, reading_from_light
from snath.decisions.reading.merge import orders_from_machine, reading_from_sound
from snath.decisions.reading.pulse_reading import likely_per_turn, reading_from_pulses, sparks_per_turn
from snath.decisions.reading.reading import Reading
from snath.formulas.signals.candidates import Track
from snath.formulas.signals.flicker import NOTHING_KNOWN, speed_from_light
from snath.formulas.signals.flicker_shutter import Shutter
from snath.formulas.signals.frame_times import capture_rate_from_clock, capture_times, frame_rate
from snath.formulas.signals.light_result import LightResult
from snath.formulas.signals.pulses import PulseResult, speed_from_pulses
from snath.formulas.signals.sound import speed_from_sound
from snath.formulas.signals.sound_result import SoundResult
from snath.quantities.errors import InputError
from snath.shop.media.door import Source, fingerprint, name_of
from snath.shop.media.film import Film, film, streams
from snath.shop.media.pulse_log import looks_like_text, pulse_log
from snath.shop.media.sound import Samples, SoundStream, sound_stream, whole
from snath.shop.media.stretch import FILM, between, cut

Kind = Literal["sound", "pulses", "light"]
Result = SoundResult | PulseResult | LightResult
Progress = Callable[[float, float | None], None]  # seconds read so far, and of how many

LOWEST, HIGHEST = 0.5, 500.0  # rev/s looked for where no sheet narrows it
SLOWEST_PART, FASTEST_PART = 5.0, 250.0  # rev/s of a filmed part that hangs on the crankshaft somehow
RESTAMPED = 0.05  # share by which a film's rate must differ from its stamps to count as slow motion
WORTH_FUSING = 0.7  # share of its flicker a film must explain to have a say beside its sound
SOUND_ALONE = (".wav", ".flac", ".mp3", ".ogg", ".m4a")
SHORT_S = 120.0  # a recording is kept whole up to here


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
    marks : int
        Alike marks or tips on the filmed part.
    capture_rate : float or None
        Frames a second at which a slow-motion film was taken, confirmed by somebody. [1/s]
    clock_in_view : (float, float) or None
        Time between two frames by the film, and by a clock seen in it. [s]
    shutter : Shutter
        How the pictures of a film were taken.
    comparisons : tuple of Comparison
        This shop's own, beside a tachometer.
    recorder : str
        Which phone or pick-up it was, so that only its own comparisons count; empty for any.
    begin_s, end_s : float or None
        The stretch to read alone, on the recording's clock (`stretch`); None for its begin and end. [s]
    """

    kind: Kind | None = None
    machine: Machine | None = None
    shaft: str = CRANKSHAFT
    condition: Condition = "blades in air"
    per_turn: float | Literal["spark"] | None = None
    clock: float | None = None
    marks: int = 1
    capture_rate: float | None = None
    clock_in_view: tuple[float, float] | None = None
    shutter: Shutter = NOTHING_KNOWN
    comparisons: tuple[Comparison, ...] = ()
    recorder: str = ""
    begin_s: float | None = None
    end_s: float | None = None

    @property
    def part(self) -> bool:
        """Whether only a stretch of it is to be read."""
        return self.begin_s is not None or self.end_s is not None

    @property
    def from_s(self) -> float:
        """Where on the recording the reading begins. [s]"""
        return 0.0 if self.begin_s is None else self.begin_s


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
    result : SoundResult, PulseResult or LightResult
        All that the method found.
    track : Track or None
        Speed over time, where it was found; its times are those of the recording, whatever was read of it.
    notes : tuple of str
        What to know of the file besides.
    begin_s : float
        Where on the recording what was read begins. [s]
    """

    reading: Reading
    kind: Kind
    seconds: float
    result: Result
    track: Track | None
    notes: tuple[str, ...] = ()
    begin_s: float = 0.0


def read_recording(source: Source, asked: Asked | None = None, *, progress: Progress | None = None) -> Read:
    """Read a file by the method it needs.

    Raises
    ------
    InputError
        Where the file cannot be read, or what was said of it is wrong.
    """
    asked = asked or Asked()
    found = _read(source, asked, progress)
    reading = with_comparisons(found.reading, asked.comparisons, recorder=asked.recorder)
    if asked.part:
        reading = replace(reading, why=_of_a_stretch(reading.why, found))
    return replace(found, reading=reading)


def _of_a_stretch(why: str, found: Read) -> str:
    end = found.begin_s + found.seconds
    return f"{why}; only {found.begin_s:.1f} to {end:.1f} s of the recording was read"


def _read(source: Source, asked: Asked, progress: Progress | None) -> Read:
    evidence = fingerprint(source)
    if asked.kind == "pulses" or (asked.kind is None and looks_like_text(source)):
        return _pulses(source, asked, evidence)
    held = None if asked.kind or _is_named_sound(source) else streams(source)
    if asked.kind == "light" or (held and held.film and not held.sound):
        return _light(source, asked, evidence)
    heard = _sound(source, asked, evidence, progress)
    if held and held.film:
        filmed = _film(source)
        if heard.begin_s < filmed.t_s[-1]:  # of a long film only the sound is read to its end
            return _together(heard, _seen(filmed, asked, evidence))
    return heard


def _is_named_sound(source: Source) -> bool:
    """Whether a file's name says it holds sound alone, so that nobody need look first."""
    return isinstance(source, Path) and source.suffix.lower() in SOUND_ALONE


def _together(heard: Read, seen: Read) -> Read:
    """Sound and picture of one clip; a picture in which nothing turns visibly is left out."""
    assert isinstance(seen.result, LightResult)
    if seen.result.explained < WORTH_FUSING or heard.reading.several_held:
        return heard
    if seen.reading.several_held:
        return replace(heard, reading=seen.reading, notes=(*heard.notes, *seen.notes))
    return replace(heard, reading=fuse((heard.reading, seen.reading)), notes=(*heard.notes, *seen.notes))


def sound_for_picture(
    source: Source, begin_s: float | None = None, end_s: float | None = None
) -> tuple[Samples, float]:
    """The first two minutes of a recording's sound, or of a stretch of it, and its rate, to be drawn."""
    stream = cut(sound_stream(source), begin_s, end_s)
    blocks, held = [], 0.0
    for block in stream.blocks:
        blocks.append(block)
        held += len(block) / stream.rate
        if held > SHORT_S:
            break
    return np.concatenate(blocks), stream.rate


def _pulses(source: Source, asked: Asked, evidence: str) -> Read:
    log = pulse_log(source, clock=asked.clock)
    since = log.t_s - log.t_s[0]
    t_s = since[between(since, asked.begin_s, asked.end_s)]
    per_turn = asked.per_turn
    if per_turn == "spark":
        if asked.machine is None:
            raise InputError("per turn", "spark", "needs a machine sheet, or type the number")
        per_turn = sparks_per_turn(asked.machine.engine)
    orders = orders_from_machine(asked.machine)
    known = asked.machine is not None and asked.shaft == CRANKSHAFT
    result = speed_from_pulses(
        t_s,
        per_turn=per_turn,
        likely=likely_per_turn(asked.machine),
        rev_s_low=orders.rev_s_low if known else LOWEST,
        rev_s_high=orders.rev_s_high if known else HIGHEST,
    )
    reading = reading_from_pulses(result, shaft=asked.shaft, condition=asked.condition, evidence=evidence)
    begin, seconds = (float(t_s[0]), float(np.ptp(t_s))) if len(t_s) else (asked.from_s, 0.0)
    track = _taken_at(result.track, asked.shaft, begin)
    reading = reading if track is None else apart(reading, track)
    return Read(reading, "pulses", seconds, result, track, result.notes, begin)


def _light(source: Source, asked: Asked, evidence: str) -> Read:
    return _seen(_film(source), asked, evidence)


def _film(source: Source) -> Film:
    filmed = film(source)
    if len(filmed.t_s) < 3:
        raise InputError("recording", name_of(source), "is a film of fewer than three pictures")
    return filmed


def _seen(filmed: Film, asked: Asked, evidence: str) -> Read:
    stamped = frame_rate(filmed.t_s)
    results = tuple(
        (rate, _seen_at(filmed, stamped, rate, asked)) for rate in _capture_rates(filmed, stamped, asked)
    )
    result = results[0][1] if len(results) == 1 else across_capture_rates(results)
    reading = reading_from_light(result, shaft=asked.shaft, condition=asked.condition, evidence=evidence)
    notes = (f"{filmed.faults} damaged pictures were left out",) if filmed.faults else ()
    track = _taken_at(result.track, asked.shaft)
    if track is not None and result.explained >= WORTH_FUSING:
        reading = apart(reading, track)
    return Read(reading, "light", result.duration, result, track, (*result.notes, *notes), asked.from_s)


def _taken_at(track: Track | None, shaft: str, begin_s: float = 0.0) -> Track | None:
    """The course by the name of the shaft whose mark was seen, on the recording's clock."""
    return None if track is None else replace(track, shaft=shaft).later(begin_s)


def _capture_rates(filmed: Film, stamped: float, asked: Asked) -> tuple[float, ...]:
    """Rates at which the film may have been taken: as confirmed, as the phone wrote, or as stamped."""
    if asked.capture_rate is not None:
        return (asked.capture_rate,)
    if asked.clock_in_view is not None:
        by_film, by_clock = asked.clock_in_view
        return (capture_rate_from_clock(stamped_rate=stamped, film_s=by_film, clock_s=by_clock),)
    written = filmed.capture_rate
    if written is not None and abs(written / stamped - 1) > RESTAMPED:
        return (written, stamped)
    return (stamped,)


def _seen_at(filmed: Film, stamped: float, rate: float, asked: Asked) -> LightResult:
    orders = orders_from_machine(asked.machine)
    known = asked.machine is None or asked.shaft == CRANKSHAFT
    t_s = capture_times(filmed.t_s, stamped_rate=stamped, capture_rate=rate)
    stretch = between(t_s, asked.begin_s, asked.end_s, ends=FILM)
    seen: LightResult = speed_from_light(
        t_s[stretch],
        filmed.cells[stretch],
        marks=asked.marks,
        rev_s_low=orders.rev_s_low if known else SLOWEST_PART,
        rev_s_high=orders.rev_s_high if known else FASTEST_PART,
        shutter=asked.shutter,
    )
    return seen


def _sound(source: Source, asked: Asked, evidence: str, progress: Progress | None) -> Read:
    stream = cut(sound_stream(source), asked.begin_s, asked.end_s)
    counted = _counted(stream, progress)
    short = stream.seconds is not None and stream.seconds <= SHORT_S
    samples = whole(counted) if short else counted.blocks
    result = speed_from_sound(samples, stream.rate, orders_from_machine(asked.machine))
    result = replace(result, track=result.track.later(asked.from_s))
    reading = reading_from_sound(result, asked.machine, condition=asked.condition, evidence=evidence)
    ratio = heard_ratio(result, asked.machine, asked.shaft)
    track = track_at(result.track, ratio, asked.shaft)
    reading = apart(heard_at(reading, ratio, asked.shaft), track)
    return Read(
        reading, "sound", result.duration, result, track, (*result.notes, *stream.notes), asked.from_s
    )


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
