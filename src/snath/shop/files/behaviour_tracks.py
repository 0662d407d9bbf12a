"""Speed over time for a governor or a stop test, from the recording or track file its table names."""

import hashlib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from snath.decisions.behaviour.tables import TrackTable
from snath.decisions.job.job import Evidence
from snath.decisions.machine.parts import Machine
from snath.formulas.signals.candidates import Track
from snath.quantities.errors import InputError
from snath.shop.media.recording import speed_over_time
from snath.shop.media.request import ReadRequest
from snath.shop.media.text_file import read_text
from snath.shop.media.track_file import read_track


@dataclass(frozen=True, slots=True)
class Taken:
    """A track, and the hash of what it was read from."""

    track: Track
    evidence: Evidence


def taken(row: TrackTable, *, shaft: str, machine: Machine, folder: Path) -> Taken | None:
    """The track a table names; None where it names none.

    Raises
    ------
    InputError
        Where it names two, or the file gives no speed over time.
    """
    if row.recording and row.track:
        raise InputError("track", row.track, "needs one of recording, track, not both")
    if not (row.recording or row.track):
        return None
    if row.track:
        place = str(folder / row.track)
        track = read_track(place, shaft=shaft)
        digest = hashlib.sha256(read_text(place, "track").encode()).hexdigest()
        return Taken(track, Evidence(digest, "track", note=row.track))
    return _recorded(row, shaft, machine, folder)


def _recorded(row: TrackTable, shaft: str, machine: Machine, folder: Path) -> Taken:
    per_turn: Any = "spark" if row.per_turn == "spark" else float(row.per_turn) if row.per_turn else None
    asked = ReadRequest(machine=machine, shaft=shaft, per_turn=per_turn, clock=row.clock, marks=row.marks)
    track, read = speed_over_time(folder / row.recording, asked)
    return Taken(track, Evidence(read.reading.evidence, read.reading.method, note=row.recording))
