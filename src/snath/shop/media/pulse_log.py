"""A list of pulse times as text: seconds, or counts of a clock, one pulse a line."""

import re
from dataclasses import dataclass
from itertools import islice

import numpy as np
from numpy.typing import NDArray

from snath.quantities.errors import InputError, shorten
from snath.quantities.message import Message
from snath.shop.media.decoder import FIELD, Source, name_of, opened

LARGEST = 64 * 2**20  # bytes
ROWS = 4_000_000
LINE = 200  # characters of a heading that are looked at
CLOCK = re.compile(r"[^0-9]*+([0-9]++(?:\.[0-9]*+)?(?:e[+-]?[0-9]++)?+)\s*+([kMG]?)\s*+Hz", re.IGNORECASE)
PREFIX = {"": 1.0, "k": 1e3, "m": 1e6, "g": 1e9}
WRAPS = (2**16, 2**24, 2**32)  # where counters begin again


@dataclass(frozen=True, slots=True)
class PulseLog:
    """Moments of pulses, rising, from whatever the file calls nought. [s]"""

    t_s: NDArray[np.float64]
    clock: float | None = None


def looks_like_text(source: Source) -> bool:
    """Whether a file begins like a list of numbers and not like a recording."""
    with opened(source) as file:
        head = file.read(2048)
    if not head.strip() or b"\0" in head:
        return False
    try:
        text = head.decode("utf-8-sig", errors="strict" if len(head) < 2048 else "ignore")
    except UnicodeDecodeError:
        return False
    lines = [line for line in text.splitlines() if line.strip()]
    return any(_numbers(line) is not None for line in lines[:20])


def pulse_log(source: Source, *, clock: float | None = None) -> PulseLog:
    """Read a pulse log.

    Parameters
    ----------
    source : Path or bytes
        Text, one pulse a line: a moment in seconds, or a count where `clock` or a line such as
        "# clock 16 MHz" says how fast it counts. A second column of 0 and 1 is a level, and a pulse is
        where it rises.
    clock : float or None
        Counts a second. [Hz]

    Raises
    ------
    InputError
        Naming the line that is no number, or that runs backwards.
    """
    with opened(source) as file:
        raw = file.read(LARGEST + 1)
    if len(raw) > LARGEST:
        raise InputError(FIELD, name_of(source), Message("media.log-size", most=LARGEST // 2**20))
    lines = raw.decode("utf-8-sig", errors="replace").splitlines()
    clock = clock if clock is not None else _clock_named(lines)
    moments = _moments(lines, name_of(source))
    if clock is not None:
        if not (np.isfinite(clock) and clock > 0):
            raise InputError("clock", f"{clock:g} Hz", Message("sheet.over", n=0))
        moments = _unwrapped(moments) / clock
    back = np.flatnonzero(np.diff(moments) < 0)
    if len(back):
        where = Message("media.log-pulse", file=name_of(source), pulse=int(back[0]) + 2)
        after = Message("pulses.one-after-other") if clock else Message("media.log-need-clock")
        raise InputError(FIELD, where, after)
    return PulseLog(moments, clock)


def _clock_named(lines: list[str]) -> float | None:
    for line in islice(lines, 20):
        _, word, rest = line[:LINE].lower().partition("clock")
        if word and (found := CLOCK.match(rest)):
            return float(found[1]) * PREFIX[found[2]]
    return None


def _moments(lines: list[str], name: Message | str) -> NDArray[np.float64]:
    rows: list[list[float]] = []
    for number, line in enumerate(lines, start=1):
        text = line.strip()
        if not text or text.startswith("#"):
            continue
        found = _numbers(text)
        if found is None:
            if rows or number > 20:
                where = Message("media.log-line", file=name, line=number, text=shorten(text[:30]))
                raise InputError(FIELD, where, Message("fault.number"))
            continue  # a heading
        rows.append(found[:2])
        if len(rows) > ROWS:
            raise InputError(FIELD, name, Message("media.log-pulses", most=ROWS))
    if len(rows) < 2:
        raise InputError(FIELD, name, Message("media.log-two"))
    first = np.array([row[0] for row in rows])
    if all(len(row) == 2 and row[1] in (0.0, 1.0) for row in rows):
        level = np.array([row[1] for row in rows])
        first = first[1:][(level[1:] == 1) & (level[:-1] == 0)] if np.ptp(level) else first
    if not np.isfinite(first).all() or np.abs(first).max() > 1e18:
        raise InputError(FIELD, name, Message("media.log-numbers"))
    return first


def _numbers(line: str) -> list[float] | None:
    """The numbers of a line with commas, semicolons, tabs or blanks between; None where one is no number."""
    if ";" in line or "\t" in line:
        line = line.replace(",", ".")
    try:
        return [float(word) for word in re.split(r"[;\t, ]+", line) if word] or None
    except ValueError:
        return None


def _unwrapped(counts: NDArray[np.float64]) -> NDArray[np.float64]:
    """Counts that go on rising where the counter began again."""
    steps = np.diff(counts)
    if (steps >= 0).all():
        return counts
    for wrap in WRAPS:
        if counts.max() < wrap:
            return np.concatenate(
                [counts[:1], counts[0] + np.cumsum(np.where(steps < 0, steps + wrap, steps))]
            )
    return counts
