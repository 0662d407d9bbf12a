"""What has been done already: every row is written down when it is ready, so that a stopped batch goes on."""

import json
import os
from collections.abc import Iterable
from hashlib import sha256
from pathlib import Path

from snath.quantities.errors import InputError
from snath.shop.batch.row import COLUMNS, Row, Task
from snath.shop.media.decoder import fingerprint


class Journal:
    """Rows of one batch beside its table, as JSON lines under the key of what was asked."""

    def __init__(self, table: Path, key: str) -> None:
        self.path = table.with_name(table.name + ".rows")
        self.key = key

    def done(self) -> dict[str, Row]:
        """Rows by file name; a half written last line is left out, other batches' rows too."""
        found: dict[str, Row] = {}
        try:
            lines = self.path.read_text("utf-8", errors="replace").splitlines()
        except FileNotFoundError:
            return found
        for line in lines:
            try:
                said = json.loads(line)
            except ValueError:
                continue
            if (
                isinstance(said, dict)
                and said.get("key") == self.key
                and set(said.get("row", ())) == set(COLUMNS)
            ):
                found[said["row"]["file"]] = said["row"]
        return found

    def add(self, row: Row) -> None:
        """Write one row down for good."""
        line = json.dumps({"key": self.key, "row": row}, ensure_ascii=False) + "\n"
        with self.path.open("ab") as file:
            file.write(line.encode())
            file.flush()
            os.fsync(file.fileno())


def key_of(parts: Iterable[object]) -> str:
    """What was asked for, in a word: rows made with another sheet or program are not taken over."""
    return sha256("\n".join(map(repr, parts)).encode()).hexdigest()[:16]


def still_to_do(tasks: Iterable[Task], done: dict[str, Row]) -> tuple[list[Task], list[Row]]:
    """Tasks whose file is new or changed, and the rows that stand."""
    left, standing = [], []
    for task in tasks:
        row = done.get(task.name)
        if row is not None and row["sha256"] and row["sha256"] == _mark(task):
            standing.append(row)
        else:
            left.append(task)
    return left, standing


def _mark(task: Task) -> str:
    try:
        return fingerprint(task.path)
    except InputError:
        return ""
