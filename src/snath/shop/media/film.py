"""The pictures of a recording as coarse cells of brightness, each with the time it was taken."""

import json
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from snath.shop.media import wire
from snath.shop.media.decoder import LONGEST_S, Source, messages
from snath.shop.media.request import Progress


@dataclass(frozen=True, slots=True)
class Film:
    """Coarse pictures of a film.

    Attributes
    ----------
    t_s : ndarray, shape (frames,)
        Time stamps of the container, from nought. [s]
    cells : ndarray, shape (frames, rows, columns)
        Mean brightness, times 256. [1]
    capture_rate : float or None
        Frames a second at which it was taken, where the file says so itself. [1/s]
    sound : bool
        Whether the file holds sound too.
    faults : int
        Pictures that could not be decoded.
    """

    t_s: NDArray[np.float64]
    cells: NDArray[np.uint16]
    capture_rate: float | None
    sound: bool
    faults: int


@dataclass(frozen=True, slots=True)
class Streams:
    """What a file holds."""

    seconds: float | None
    sound: bool
    film: bool


def film(source: Source, progress: Progress | None = None) -> Film:
    """Read the first two minutes of a film.

    Raises
    ------
    InputError
        Where nothing can be decoded; it says why.
    """
    about: dict[str, Any] = {}
    times, pictures = list[NDArray[np.float64]](), list[NDArray[np.uint16]]()
    for kind, payload in messages(source, {"what": "film"}):
        if kind == wire.ABOUT:
            about |= json.loads(payload)
        elif kind == wire.FRAMES:
            count, rows, columns = (int(n) for n in np.frombuffer(payload, "<f8", 3))
            times.append(np.frombuffer(payload, "<f8", count, offset=24))
            if progress is not None:
                progress(times[-1][-1] - times[0][0], about["seconds"])
            held = np.frombuffer(payload, "<u2", offset=24 + 8 * count)
            pictures.append(held.reshape(count, rows, columns))
    t, cells = np.concatenate(times), np.concatenate(pictures)
    order = np.argsort(t, kind="stable")
    t, cells = t[order], cells if (np.diff(order) == 1).all() else cells[order]
    rate = about["capture_rate"]
    return Film(
        t_s=t - t[0],
        cells=cells,
        capture_rate=float(str(rate)) if rate else None,
        sound=bool(about["sound"]),
        faults=int(str(about["faults"])),
    )


def streams(source: Source) -> Streams:
    """Look what a file holds without decoding it.

    Raises
    ------
    InputError
        Where it cannot be opened; it says why.
    """
    about: dict[str, object] = {}
    for kind, payload in messages(source, {"what": "probe", "longest_s": LONGEST_S}):
        if kind == wire.ABOUT:
            about |= json.loads(payload)
    seconds = about["seconds"]
    return Streams(
        seconds=float(str(seconds)) if seconds is not None else None,
        sound=bool(about["sound"]),
        film=bool(about["film"]),
    )
