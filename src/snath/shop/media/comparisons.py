"""Where a shop's own comparisons are kept: one JSON object a line, only ever added to."""

import json
import os
from dataclasses import asdict, fields
from pathlib import Path

from snath.decisions.reading.compared import Comparison
from snath.quantities.errors import InputError, within
from snath.quantities.message import Message

NAME = "comparisons.jsonl"
OWNER_ONLY = 0o600
TOP = 1000.0  # rev/s


def kept_comparisons(folder: Path) -> tuple[Comparison, ...]:
    """All comparisons of a data folder, oldest first; none where nothing was ever compared.

    Raises
    ------
    InputError
        Naming the line that is no comparison.
    """
    path = folder / NAME
    try:
        lines = path.read_text("utf-8").splitlines()
    except FileNotFoundError:
        return ()
    except (OSError, ValueError) as fault:  # also a folder whose name no system takes
        raise InputError("comparisons", path, Message("media.not-read", why=str(fault))) from None
    return tuple(
        _comparison(line, path, number) for number, line in enumerate(lines, start=1) if line.strip()
    )


def named_comparisons(folder: Path) -> tuple[Comparison, ...]:
    """All comparisons of a folder somebody named, who must not believe that they counted where it is not there.

    Raises
    ------
    InputError
        Where no such folder is there, or it holds what is no comparison.
    """
    if not os.path.isdir(folder):  # noqa: PTH112 - False where none can be called that
        raise InputError("data", folder, Message("media.folder-there"))
    return kept_comparisons(folder)


def keep_comparison(folder: Path, comparison: Comparison) -> Path:
    """Add one at the end, whole or not at all, readable by its owner only."""
    path = folder / NAME
    try:
        folder.mkdir(parents=True, exist_ok=True)
        line = (json.dumps(asdict(comparison), ensure_ascii=False) + "\n").encode()
        with os.fdopen(
            os.open(path, os.O_WRONLY | os.O_CREAT | os.O_APPEND, OWNER_ONLY), "ab", buffering=0
        ) as file:
            file.write(line)
            os.fsync(file.fileno())
    except OSError as fault:
        why = Message("media.not-written", why=fault.strerror or "")
        raise InputError("data folder", folder, why) from None
    return path


def _comparison(line: str, path: Path, number: int) -> Comparison:
    try:
        data = json.loads(line)
        known = {field.name for field in fields(Comparison)}
        found = Comparison(**{name: value for name, value in data.items() if name in known})
        for name in ("recorded", "tachometer"):
            within(name, getattr(found, name), 0, TOP, "rev/s", open_low=True)
        for name in ("u_recorded", "u_tachometer"):
            within(name, getattr(found, name), 0, TOP, "rev/s")
    except (ValueError, TypeError, AttributeError):
        where = Message("media.file-line", file=path.name, line=number)
        raise InputError("comparisons", where, Message("media.no-comparison")) from None
    return found
