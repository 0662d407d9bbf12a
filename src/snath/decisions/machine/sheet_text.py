"""Write a machine sheet as TOML text, the form in which it is kept, read and shown."""

import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

LAST_STEP = re.compile(r"(\.[^.\[]+|\[[0-9]+\]|^[^.\[]+)$")


@dataclass(frozen=True, slots=True)
class Composed:
    """A sheet, and which box or column each of its places was filled from."""

    text: str
    places: dict[str, str] = field(default_factory=dict)

    def box_of(self, path: str) -> str | None:
        """The box nearest to a place on the sheet; None for the sheet as a whole."""
        while path:
            if path in self.places:
                return self.places[path]
            path = LAST_STEP.sub("", path)
        return None


def put(table: Any, path: tuple[str | int, ...], value: Any) -> None:
    """Set one place in nested tables; a number at the end of a path appends to a list."""
    for step, after in pairwise(path):
        table = table.setdefault(step, [] if isinstance(after, int) else {})
    if isinstance(path[-1], int):
        table.append(value)
    else:
        table[path[-1]] = value


def toml_text(data: Mapping[str, Any]) -> str:
    """Tables after plain values, lists of tables last; what is empty is left out."""
    return "\n".join(_table(data, "")).strip() + "\n"


def _table(data: Mapping[str, Any], path: str) -> Iterator[str]:
    for key, value in data.items():
        if not _is_table(value) and not _is_tables(value):
            yield f"{key} = {_value(value)}"
    for key, value in data.items():
        below = f"{path}.{key}" if path else key
        if _is_table(value):
            yield f"\n[{below}]"
            yield from _table(value, below)
        elif _is_tables(value):
            for row in value:
                yield f"\n[[{below}]]"
                yield from _table(row, below)


def _is_table(value: Any) -> bool:
    return isinstance(value, Mapping)


def _is_tables(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(row, Mapping) for row in value)


def _value(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int):
        return str(value)
    if isinstance(value, list):
        return f"[{', '.join(_value(item) for item in value)}]"
    # A JSON string is a TOML string, except for the one control character JSON leaves as it is.
    return json.dumps(str(value).replace("\x7f", ""), ensure_ascii=False)
