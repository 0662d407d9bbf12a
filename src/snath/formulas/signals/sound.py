"""Find the engine's speed in a recording of sound, and how sure it is."""

import math
from collections.abc import Iterable, Iterator
from contextlib import suppress
from typing import Any

import numpy as np
from numpy.typing import NDArray

from snath.formulas.signals.candidates import Orders
from snath.formulas.signals.sound_answer import answered, nothing
from snath.formulas.signals.sound_course import Heard
from snath.formulas.signals.sound_follow import TooShortError
from snath.formulas.signals.sound_listen import listen
from snath.formulas.signals.sound_plan import plan_of
from snath.formulas.signals.sound_result import SoundResult
from snath.formulas.signals.spectra import decimated
from snath.quantities.errors import within
from snath.quantities.message import Message

PIECE = 30.0  # longest stretch searched in one go, so that hours fit in little memory [s]
SHORTEST = 0.3  # [s]


def speed_from_sound(samples: Any, rate: float, orders: Orders) -> SoundResult:
    """Speed over time and steady speed from a recording.

    Parameters
    ----------
    samples : array_like, shape (n,), or iterable of such arrays
        Sound, whole or in chunks; one channel. [any]
    rate : float
        Samples per second, 1 to 400000; under 1000 nothing is heard. [1/s]
    orders : Orders
        What to look for.

    Returns
    -------
    SoundResult
        With `decided` False where several speeds fit or nothing was heard.

    Raises
    ------
    InputError
        If the rate is outside the range above.

    References
    ----------
    .. [1] docs/sound.md, with the equations and their sources.
    """
    within("rate", rate, 1, 400_000, "samples per second")
    chunks = [samples] if isinstance(samples, np.ndarray | list | tuple) else samples
    plan = plan_of(orders)
    heard: list[tuple[float, Heard]] = []
    total, clipped = 0.0, 0.0
    for begin, piece in _pieces(chunks, rate):
        total = begin + len(piece) / rate
        loudest = float(max(piece.max(), -piece.min())) if len(piece) else 0.0
        if len(piece) < SHORTEST * rate or rate < 1000 or not np.isfinite(loudest) or loudest == 0:
            continue
        most = 0.999 * loudest
        at_top = np.count_nonzero(piece > most) + np.count_nonzero(piece < -most)
        clipped = max(clipped, at_top / len(piece))
        x, working = decimated(np.ldexp(piece, -math.frexp(loudest)[1]), rate)  # squares of any size overflow
        with suppress(TooShortError):
            heard.append((begin, listen(x, working, plan)))
    notes = (Message("sound.clipped"),) if clipped > 0.005 else ()
    if not heard:
        return nothing(total, Message("sound.no-sound"))
    return answered(heard, orders, total, notes)


def _pieces(chunks: Iterable[Any], rate: float) -> Iterator[tuple[float, NDArray[np.float32]]]:
    """Stretches of at most `PIECE` from chunks of any length, with the time each begins."""
    wanted = int(PIECE * rate)
    waiting: list[NDArray[np.float32]] = []
    held, done = 0, 0
    for chunk in chunks:
        part = np.asarray(chunk, dtype=np.float32).ravel()
        waiting.append(part)
        held += len(part)
        while held >= 1.3 * wanted:
            whole = np.concatenate(waiting)
            yield done / rate, whole[:wanted]
            waiting, held, done = [whole[wanted:]], held - wanted, done + wanted
    if held:
        yield done / rate, waiting[0] if len(waiting) == 1 else np.concatenate(waiting)
