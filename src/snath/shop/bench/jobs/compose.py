"""From what the boxes hold to the machine sheet a file would hold, and back from a fault to its box."""

import re
from typing import Any

from snath.decisions.machine.sheet_text import Composed, put, toml_text
from snath.quantities.numbers import DecimalMark
from snath.quantities.toml_text import spoken
from snath.quantities.units import with_unit
from snath.shop.bench.jobs.box import OWN_UNIT, Box
from snath.shop.bench.jobs.boxes_drive import DRIVE, DRIVE_KINDS, DRIVE_MORE, DRIVE_OF
from snath.shop.bench.jobs.boxes_machine import ENGINE, ENGINE_MORE, MACHINE, MACHINE_MORE, MAKER
from snath.shop.bench.jobs.boxes_part import (
    ARMS_MEASURED,
    MEASURED,
    NOT_SAID,
    PART,
    PART_CHOICES,
    boxes_of_part,
)
from snath.shop.bench.jobs.entries import Entries, choose, rows

BARE = re.compile(r"[0-9][0-9., ]*")


def composed(entries: Entries, decimal_mark: DecimalMark, length: str) -> Composed:
    """The sheet of these boxes; `length` is the unit that stands beside those for lengths."""
    return _Composer(entries, decimal_mark, length).sheet()


class _Composer:
    def __init__(self, entries: Entries, decimal_mark: DecimalMark, length: str) -> None:
        self.entries = entries
        self.decimal_mark: DecimalMark = decimal_mark
        self.length = length
        self.places: dict[str, str] = {}

    def sheet(self) -> Composed:
        data: dict[str, Any] = {"sheet": 1, "decimal_mark": self.decimal_mark, "engine": {}}
        self.put(data, "", (*MACHINE, *MACHINE_MORE, *ENGINE, *ENGINE_MORE, *MAKER), ())
        data["coupling"] = [self.drive(at) for at in range(rows(self.entries, "drive"))]
        data["member"] = [self.part(at) for at in range(rows(self.entries, "part"))]
        return Composed(toml_text(data), self.places)

    def drive(self, at: int) -> dict[str, Any]:
        prefix, place = f"d{at}_", ("coupling", at)
        kind = choose(self.entries, f"{prefix}kind", DRIVE_KINDS)
        row: dict[str, Any] = {}
        inner: dict[str, Any] = {}
        self.put(row, prefix, (*DRIVE, *DRIVE_MORE), place)
        self.put(inner, prefix, DRIVE_OF[kind], (*place, kind))
        row[kind] = True if kind == "direct" else inner
        self.places.setdefault(spoken(place), f"{prefix}driven")
        return row

    def part(self, at: int) -> dict[str, Any]:
        prefix, place = f"p{at}_", ("member", at)
        kind = choose(self.entries, f"{prefix}kind", PART_CHOICES)
        row: dict[str, Any] = {}
        inner: dict[str, Any] = {}
        self.put(row, prefix, PART, place)
        self.put(inner, prefix, boxes_of_part(kind, self.measured(prefix)), (*place, kind))
        if inner.get("measured") in (ARMS_MEASURED, NOT_SAID):
            del inner["measured"]
            self.places[spoken((*place, kind, "arms"))] = f"{prefix}arm_1"
        row[kind] = inner
        self.places.setdefault(spoken(place), f"{prefix}name")
        return row

    def measured(self, prefix: str) -> str:
        return choose(self.entries, f"{prefix}measured", MEASURED)

    def put(
        self, table: dict[str, Any], prefix: str, several: tuple[Box, ...], place: tuple[str | int, ...]
    ) -> None:
        for box in several:
            if not box.path:
                continue
            name = prefix + box.name
            self.places[spoken((*place, *box.path))] = name
            value = self.filled(box, self.entries.get(name, ""))
            if value is not None:
                put(table, box.path, value)

    def filled(self, box: Box, given: str) -> Any:
        """What a box puts on the sheet, None for nothing."""
        text = given.strip()
        if not text:
            return None
        if box.fill == "flag":
            return True
        if box.fill == "whole":
            return int(text) if text.isascii() and text.isdecimal() and len(text) < 9 else text
        if box.fill == "angles":
            return [part.strip() for part in text.split(";") if part.strip()]
        if box.fill in OWN_UNIT and BARE.fullmatch(text):
            return f"{text} {OWN_UNIT[box.fill]}"
        if box.fill == "length":
            return with_unit(text, self.length, dimension="length", decimal_mark=self.decimal_mark)
        return text
