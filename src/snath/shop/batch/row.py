"""One recording as one row of a table, whatever happens to it."""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from snath.quantities.errors import InputError, InputErrors
from snath.quantities.message import Message
from snath.shop.media.decoder import fingerprint
from snath.shop.media.held import held_speeds
from snath.shop.media.recording import read_recording
from snath.shop.media.request import ReadRequest, ReadResult
from snath.words.render import ENGLISH, Locale, named, say, say_fault

SUFFIXES = frozenset(
    (
        "wav",
        "flac",
        "mp3",
        "ogg",
        "oga",
        "opus",
        "m4a",
        "aac",
        "mp4",
        "mov",
        "webm",
        "mkv",
        "3gp",
        "csv",
        "txt",
    )
)
Row = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Task:
    """One file to read: where it lies, its name in the table, what is known of its machine, and who reads the table."""

    path: Path
    name: str
    asked: ReadRequest
    reader: Locale = ENGLISH


def tasks(folder: Path, asked: ReadRequest, reader: Locale = ENGLISH) -> Iterator[Task]:
    """Every recording and pulse log under a folder, by name.

    Raises
    ------
    InputError
        Where there is no such folder or nothing in it to read.
    """
    if not folder.is_dir():
        raise InputError("folder", folder, Message("batch.folder"))
    found = sorted(p for p in folder.rglob("*") if p.suffix.lower().lstrip(".") in SUFFIXES and p.is_file())
    if not found:
        raise InputError("folder", folder, Message("batch.no-recording", known=tuple(sorted(SUFFIXES))))
    for path in found:
        yield Task(path, path.relative_to(folder).as_posix(), asked, reader)


def row_of(task: Task) -> Row:
    """The row of a file; one that cannot be read has its reason in place of a speed."""
    try:
        mark = fingerprint(task.path)
    except InputError as fault:
        return _faulty(task.name, "", say(fault.allowed, task.reader))
    try:
        return _read(task, mark, read_recording(task.path, task.asked))
    except InputError as fault:
        return _faulty(
            task.name, mark, f"{named(fault.field, task.reader)}: {say(fault.allowed, task.reader)}"
        )
    except InputErrors as faults:
        return _faulty(task.name, mark, "\n".join(say_fault(one, task.reader) for one in faults.faults))
    except Exception as crash:  # one bad file must never stop the rest
        why = Message("batch.crashed", kind=type(crash).__name__, why=str(crash))
        return _faulty(task.name, mark, say(why, task.reader))


def lost(task: Task) -> Row:
    """The row of a file that took its worker down with it."""
    return _faulty(task.name, "", say(Message("batch.worker-ended"), task.reader))


def _read(task: Task, mark: str, found: ReadResult) -> Row:
    reading, result = found.reading, found.result
    value = reading.value
    shown = [
        {
            "rpm": round(c.rev_s * 60, 4),
            "u_rpm": round(c.u * 60, 4),
            "weight": round(c.weight, 4),
            "order": say(c.order, task.reader),
        }
        for c in reading.candidates
    ]
    return {
        "file": task.name,
        "sha256": mark,
        "method": reading.method,
        "decided": reading.decided,
        "rpm": None if value is None else value.value * 60,
        "u_rpm": None if value is None else value.u * 60,
        "low_rpm": _rpm(result.low),
        "high_rpm": _rpm(result.high),
        "drift_rpm_per_s": _rpm(result.drift),
        "hunting_rpm": _rpm(reading.hunting),
        "seconds": found.seconds,
        "candidates": json.dumps(shown, ensure_ascii=False),
        "held_speeds": json.dumps(held_speeds(reading), ensure_ascii=False),
        "why": say(reading.why, task.reader),
        "notes": "; ".join(say(note, task.reader) for note in found.notes),
        "error": None,
    }


def _faulty(name: str, mark: str, why: str) -> Row:
    return dict.fromkeys(COLUMNS) | {
        "file": name,
        "sha256": mark,
        "decided": False,
        "candidates": "[]",
        "held_speeds": "[]",
        "why": "",
        "notes": "",
        "error": why,
    }


def _rpm(speed: float | None) -> float | None:
    return None if speed is None else speed * 60


COLUMNS = {  # name: type in the table
    "file": "string",
    "sha256": "string",
    "method": "string",
    "decided": "bool",
    "rpm": "double",
    "u_rpm": "double",
    "low_rpm": "double",
    "high_rpm": "double",
    "drift_rpm_per_s": "double",
    "hunting_rpm": "double",
    "seconds": "double",
    "candidates": "string",
    "held_speeds": "string",
    "why": "string",
    "notes": "string",
    "error": "string",
}
