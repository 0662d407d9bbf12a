"""Read one file by the method it needs."""

from dataclasses import replace
from pathlib import Path

from snath.decisions.reading.compared import with_comparisons
from snath.decisions.reading.fuse import fuse
from snath.formulas.signals.candidates import Track
from snath.formulas.signals.film.result import LightResult
from snath.formulas.signals.pulses.result import PulseResult
from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.shop.media.decoder import FIELD, Source, fingerprint, name_of
from snath.shop.media.film import streams
from snath.shop.media.pulse_log import looks_like_text
from snath.shop.media.read_film import WORTH_FUSING, read_film, whole_film
from snath.shop.media.read_pulses import read_pulses
from snath.shop.media.read_sound import read_sound
from snath.shop.media.request import Progress, ReadRequest, ReadResult

SOUND_ALONE = (".wav", ".flac", ".mp3", ".ogg", ".m4a")


def read_recording(
    source: Source, asked: ReadRequest | None = None, *, progress: Progress | None = None
) -> ReadResult:
    """Read a file by the method it needs.

    Raises
    ------
    InputError
        Where the file cannot be read, or what was said of it is wrong.
    """
    asked = asked or ReadRequest()
    found = _read(source, asked, progress)
    reading = with_comparisons(found.reading, asked.comparisons, recorder=asked.recorder)
    if asked.part:
        reading = replace(reading, why=_of_a_stretch(reading.why, found))
    track = None if found.track is None else replace(found.track, heard=found.kind == "sound")
    return replace(found, reading=reading, track=track)


def speed_over_time(source: Source, asked: ReadRequest) -> tuple[Track, ReadResult]:
    """Speed over time of the shaft asked for, with all that was read.

    Raises
    ------
    InputError
        Where there is none, or where films and pulses leave open how fast what came by turns.
    """
    found = read_recording(source, asked)
    course = course_in(found.track, several=several_in(found), shaft=asked.shaft, name=name_of(source))
    return course, found


def several_in(found: ReadResult) -> bool:
    """Whether a film or pulses leave open how fast what came by turns, so that their course is one of several."""
    return isinstance(found.result, LightResult | PulseResult) and len(found.result.candidates) > 1


def course_in(track: Track | None, *, several: bool, shaft: str, name: Message | str) -> Track:
    """Speed over time of that shaft.

    Raises
    ------
    InputError
        As `speed_over_time` does.
    """
    if several:
        raise InputError(FIELD, name, Message("track.several-open"))
    if track is None or track.shaft != shaft:
        raise InputError(FIELD, name, Message("track.not-shown", shaft=shaft))
    return track


def _of_a_stretch(why: Message | str, found: ReadResult) -> Message:
    begin, end = found.begin_s, found.begin_s + found.seconds
    return Message("reading.of-a-stretch", why=why, begin=begin, end=end)


def _read(source: Source, asked: ReadRequest, progress: Progress | None) -> ReadResult:
    evidence = fingerprint(source)
    if asked.kind == "pulses" or (asked.kind is None and looks_like_text(source)):
        return read_pulses(source, asked, evidence)
    held = None if asked.kind or _is_named_sound(source) else streams(source)
    if asked.kind == "light" or (held and held.film and not held.sound):
        return read_film(whole_film(source, progress), asked, evidence)
    heard = read_sound(source, asked, evidence, progress)
    if held and held.film:
        filmed = whole_film(source, progress)
        if heard.begin_s < filmed.t_s[-1]:  # of a long film only the sound is read to its end
            return _together(heard, read_film(filmed, asked, evidence))
    return heard


def _is_named_sound(source: Source) -> bool:
    """Whether a file's name says it holds sound alone, so that nobody need look first."""
    return isinstance(source, Path) and source.suffix.lower() in SOUND_ALONE


def _together(heard: ReadResult, seen: ReadResult) -> ReadResult:
    """Sound and picture of one clip; a picture in which nothing turns visibly is left out."""
    assert isinstance(seen.result, LightResult)
    if seen.result.explained < WORTH_FUSING or heard.reading.several_held:
        return heard
    if seen.reading.several_held:
        return replace(heard, reading=seen.reading, notes=(*heard.notes, *seen.notes))
    return replace(heard, reading=fuse((heard.reading, seen.reading)), notes=(*heard.notes, *seen.notes))
