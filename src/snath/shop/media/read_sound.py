"""From the sound of a recording to one reading."""

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from snath.decisions.reading.from_sound import orders_from_machine, reading_from_sound
from snath.decisions.reading.heard_at import heard_at, heard_ratio, track_at
from snath.decisions.reading.steady_states import split_steady_states
from snath.formulas.signals.sound import speed_from_sound
from snath.shop.media.decoder import Source
from snath.shop.media.request import Progress, ReadRequest, ReadResult
from snath.shop.media.sound import Samples, SoundStream, sound_stream, whole
from snath.shop.media.stretch import cut

SHORT_S = 120.0  # a recording is kept whole up to here


def read_sound(source: Source, asked: ReadRequest, evidence: str, progress: Progress | None) -> ReadResult:
    """What its sound says, a long one block by block."""
    stream = cut(sound_stream(source), asked.begin_s, asked.end_s)
    counted = _counted(stream, progress)
    short = stream.seconds is not None and stream.seconds <= SHORT_S
    samples = whole(counted) if short else counted.blocks
    result = speed_from_sound(samples, stream.rate, orders_from_machine(asked.machine))
    result = replace(result, track=result.track.later(asked.from_s))
    reading = reading_from_sound(result, asked.machine, condition=asked.condition, evidence=evidence)
    ratio = heard_ratio(result, asked.machine, asked.shaft)
    track = track_at(result.track, ratio, asked.shaft)
    reading = split_steady_states(heard_at(reading, ratio, asked.shaft), track)
    return ReadResult(
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
