"""Tell what moved since an earlier table of the fleet: ceilings and words, whatever changed them."""

from collections.abc import Mapping, Sequence
from typing import Any

Row = Mapping[str, Any]
NEEDED = {
    "place": "string",
    "number": "string",
    "machine": "string",
    "serial": "string",
    "shut": "bool",
    "ceiling_rpm": "double",
    "speed_alone": "string",
}
COLUMNS = {
    "moved": "string",
    "ceiling_before_rpm": "double",
    "word_before": "string",
    "shut_before": "bool",
}
LOWER, HIGHER, WORD, SHUT, OPENED, NEW = "lower", "higher", "word", "shut", "opened", "new"


def with_moves(rows: Sequence[Row], before: Sequence[Row]) -> list[dict[str, Any]]:
    """Every row with what it was before, and what of it moved; a machine is known by its number, serial or place."""
    known = {key: row for row in before for key in _keys(row)}
    return [
        dict(row) | moves_of(row, next((known[key] for key in _keys(row) if key in known), None))
        for row in rows
    ]


def gone(rows: Sequence[Row], before: Sequence[Row]) -> list[Row]:
    """Machines of the earlier table that are in this one no more."""
    here = {key for row in rows for key in _keys(row)}
    return [row for row in before if not here & set(_keys(row))]


def _keys(row: Row) -> list[tuple[str, ...]]:
    """By what a machine is known again, the surest first."""
    keys: list[tuple[str, ...]] = [("number", row["number"])] if row["number"] else []
    if row["serial"]:
        keys.append(("serial", row["machine"], row["serial"]))
    return keys or [("place", row["place"])]


def moves_of(row: Row, before: Row | None) -> dict[str, Any]:
    """What a row was before, and what of it moved."""
    if before is None:
        return {"moved": NEW, "ceiling_before_rpm": None, "word_before": "", "shut_before": None}
    found = []
    was, now = before["ceiling_rpm"], row["ceiling_rpm"]
    if was != now:
        found.append(HIGHER if now is None or (was is not None and now > was) else LOWER)
    if bool(before["shut"]) != bool(row["shut"]):
        found.append(SHUT if row["shut"] else OPENED)
    if (before["speed_alone"] or "") != (row["speed_alone"] or ""):
        found.append(WORD)
    return {
        "moved": ", ".join(found),
        "ceiling_before_rpm": was,
        "word_before": before["speed_alone"] or "",
        "shut_before": before["shut"],
    }
