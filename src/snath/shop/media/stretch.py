"""Find the stretch of a recording that is to be read.

Its seconds are those of the recording itself: of a pulse list counted from its first pulse, of a film as
it was taken, not as slow motion plays it.
"""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from snath.quantities.errors import InputError, within
from snath.quantities.message import Message
from snath.shop.media.decoder import LONGEST_S
from snath.shop.media.sound import Samples, SoundStream

RECORDING, FILM = Message("media.recording-ends"), Message("media.film-ends")


def bounds(
    begin_s: float | None, end_s: float | None, *, length_s: float | None, ends: Message = RECORDING
) -> tuple[float, float]:
    """First and last second of the stretch that was asked for; what is left open is begin and end.

    Raises
    ------
    InputError
        Naming "from" or "to" where the two are no stretch of the recording.
    """
    begin = 0.0 if begin_s is None else float(within("from", begin_s, 0, LONGEST_S, "s"))
    end = LONGEST_S if end_s is None else float(within("to", end_s, 0, LONGEST_S, "s", open_low=True))
    if not begin < end:
        raise InputError("from", f"{begin:g} s", Message("media.before-end", end=end))
    if length_s is not None and not begin < length_s:
        raise _beyond(begin, length_s, ends)
    return begin, end if length_s is None else min(end, length_s)


def _beyond(begin: float, length_s: float, ends: Message) -> InputError:
    return InputError("from", f"{begin:g} s", Message("media.before", length=length_s, ends=ends))


def cut(stream: SoundStream, begin_s: float | None, end_s: float | None) -> SoundStream:
    """The same stream, only of what lies between two moments; what comes after is not decoded.

    Raises
    ------
    InputError
        Where the moments are no stretch of the recording, here or once it turns out to be shorter.
    """
    if begin_s is None and end_s is None:
        return stream
    begin, end = bounds(begin_s, end_s, length_s=stream.seconds)
    inner, first, last = stream.blocks, round(begin * stream.rate), round(end * stream.rate)

    def kept() -> Iterator[Samples]:
        at = 0
        for block in inner:
            if at + len(block) > first:
                yield block[max(first - at, 0) : last - at]
            at += len(block)
            if at >= last:
                return
        if at <= first:
            raise _beyond(begin, at / stream.rate, RECORDING)

    stream.blocks, stream.seconds = kept(), None if stream.seconds is None else end - begin
    return stream


def between(
    t_s: NDArray[np.float64], begin_s: float | None, end_s: float | None, *, ends: Message = RECORDING
) -> NDArray[np.bool_]:
    """Which of these moments lie in the stretch.

    Raises
    ------
    InputError
        Where it begins after the last of them, or is none.
    """
    if begin_s is None and end_s is None:
        return np.ones(len(t_s), dtype=bool)
    begin, end = bounds(begin_s, end_s, length_s=float(t_s[-1]), ends=ends)
    return (t_s >= begin) & (t_s <= end)
