"""Speed over time from a file, as `snath read --track` writes it: t_s, rpm and, if known, u_rpm, heard and event.

A row with an event and no speed is a moment found in the recording: "release" where the firing was heard to end. A 1
under heard says that the speed was read from sound.
"""

import csv
import io
import math
from collections.abc import Iterator

from snath.formulas.signals.candidates import Event, Track
from snath.quantities.errors import InputError, shorten
from snath.quantities.message import Message
from snath.shop.media.text_file import read_text

MOST_ROWS = 200_000
NORMAL_MEDIAN = 0.6745  # median of the size of a standard normal


def read_track(path: str, *, shaft: str) -> Track:
    """The track of that file with the moments found; without u_rpm neighbours tell the noise.

    Raises
    ------
    InputError
        Naming the line that cannot be read.
    """
    text = read_text(path, "track")
    found, rows = list[Event](), list[list[float]]()
    for row in _rows(text):
        if isinstance(row, Event):
            found.append(row)
        else:
            rows.append(row)
    if not rows:
        raise InputError("track", path, Message("media.track-rows"))
    t, n, u = (list(column) for column in zip(*rows, strict=True))
    noise = _noise(n)
    return Track(
        shaft=shaft,
        t_s=tuple(t),
        rev_s=tuple(n),
        u=tuple(noise if math.isnan(one) else one for one in u),
        events=tuple(found),
        heard=_heard(text, found),
    )


def _heard(text: str, found: list[Event]) -> bool:
    """Whether the file says so, or holds a release: only sound finds one, and older tables say no more."""
    said = any((row.get("heard") or "").strip() == "1" for row in csv.DictReader(io.StringIO(text)))
    return said or any(event.kind == "release" for event in found)


def _rows(text: str) -> Iterator[Event | list[float]]:
    """Moment, speed and its uncertainty of each row, or the event it names. [s], [rev/s]"""
    reader = csv.DictReader(io.StringIO(text))
    if reader.fieldnames is None or not {"t_s", "rpm"} <= set(reader.fieldnames):
        given = ", ".join(reader.fieldnames or ["nothing"])
        raise InputError("track", given, Message("media.track-columns"))
    for line, row in enumerate(reader, start=2):
        if line > MOST_ROWS:
            where = Message("media.line", line=line)
            raise InputError("track", where, Message("media.track-most", most=MOST_ROWS))
        event = (row.get("event") or "").strip()
        try:
            if event and not (row["rpm"] or "").strip():
                yield Event(float(row["t_s"]), event)
                continue
            values = [float(row["t_s"]), float(row["rpm"]) / 60, float(row.get("u_rpm") or "nan") / 60]
        except (TypeError, ValueError):
            where = Message("media.line-with", line=line, text=shorten(row))
            raise InputError("track", where, Message("media.track-numbers")) from None
        if not all(math.isfinite(value) for value in values[:2]):
            where = Message("media.line-with", line=line, text=shorten(row))
            raise InputError("track", where, Message("media.track-finite"))
        yield values


def _noise(speeds: list[float]) -> float:
    """What neighbours differ by, bends left out: the median of second differences."""
    second = sorted(abs(a - 2 * b + c) for a, b, c in zip(speeds, speeds[1:], speeds[2:], strict=False))
    if not second:
        return 0.0
    return second[len(second) // 2] / NORMAL_MEDIAN / math.sqrt(6)
