"""Which machines of the shelf a table speaks of, and what of each it would replace."""

import json
from collections.abc import Iterator, Mapping, Sequence
from copy import copy
from dataclasses import dataclass
from datetime import date
from hashlib import sha256
from typing import Any
from uuid import UUID

from snath.decisions.machine.parts import Machine
from snath.decisions.machine.sheet import describes, read_sheet
from snath.quantities.message import Message
from snath.quantities.numbers import LONGEST, leading_number
from snath.quantities.toml_text import parsed, spoken
from snath.shop.fleet.columns import BY_PLACE, is_figure
from snath.shop.fleet.machine import FleetMachine
from snath.shop.records.due import due_after, forget_worked, read_later
from snath.shop.records.fleet import FleetEntry
from snath.shop.records.models import EarlierSheet, JobRecord, MachineRecord

AS_TYPED = ("reading", "read_at", "condition", "u", "instrument", "accuracy", "mark")
NOT_TOLD = ("sheet", "decimal_mark")


@dataclass(frozen=True, slots=True)
class Change:
    """One column of a machine: what stands on the shelf, and what the table has in its place; either may be empty."""

    column: str
    was: str
    now: str


@dataclass(frozen=True, slots=True)
class Taking:
    """A machine of a table beside the one it is on the shelf.

    Attributes
    ----------
    kept : FleetMachine
        As the table has it.
    machine : Machine
    record : MachineRecord or None
        What stands on the shelf; None for a new machine.
    sheet : str
        The sheet it gets; the one it has where nothing of the machine differs.
    entry : FleetEntry
        As it will be, not saved.
    changes : tuple of Change
        What differs from the shelf; empty for a new machine.
    stands : date or None
        The day of the reading on the shelf where that is a later one than the table's: it stands.
    """

    kept: FleetMachine
    machine: Machine
    record: MachineRecord | None
    sheet: str
    entry: FleetEntry
    changes: tuple[Change, ...] = ()
    stands: date | None = None

    @property
    def replaces(self) -> bool:
        """Whether anything that stands on the shelf would go."""
        return any(one.was for one in self.changes)

    @property
    def earlier(self) -> EarlierSheet | None:
        """What stands on the shelf, to be kept, where the sheet or the reading goes."""
        if self.record is None:
            return None
        old = getattr(self.record, "fleet", None)
        went = {one.column for one in self.changes if one.was} & {*AS_TYPED, "read_on"}
        reading = old.reading if old and went else ""
        if not reading and self.record.sheet in ("", self.sheet):
            return None
        on = old.read_on if old and reading else None
        return EarlierSheet(machine=self.record, sheet=self.record.sheet, reading=reading, read_on=on)


def takings(machines: Sequence[FleetMachine]) -> tuple[list[Taking], list[Message]]:
    """Every machine beside the one it is on the shelf, and what is wrong with those that cannot be taken in.

    A machine is known again by its number, else by its name and serial number.
    """
    listed = FleetEntry.objects.exclude(number="").values_list("number", "pk")
    by_number = dict(listed)
    by_serial = {
        (name, serial): pk
        for name, serial, pk in MachineRecord.objects.exclude(serial="").values_list("name", "serial", "pk")
    }
    in_jobs = set(
        JobRecord.objects.exclude(as_found_rev_s=None, as_left_rev_s=None).values_list(
            "machine_id", flat=True
        )
    )
    read = [(kept, read_sheet(kept.sheet)) for kept in machines]
    keys = [by_number.get(kept.number) or by_serial.get((one.name, one.serial)) for kept, one in read]
    records = MachineRecord.objects.select_related("customer", "fleet").in_bulk([key for key in keys if key])
    found: list[Taking] = []
    faults: list[Message] = []
    seen: dict[UUID, str] = {}
    for (kept, machine), key in zip(read, keys, strict=True):
        if key in seen:
            faults.append(Message("fleet.same-machine", place=kept.place, other=seen[key]))
            continue
        if key is None:
            found.append(Taking(kept, machine, None, kept.sheet, _entry(kept, None, in_job=False)[0]))
            continue
        seen[key] = kept.place
        found.append(_beside(kept, machine, records[key], in_job=key in in_jobs))
    return found, faults


def mark_of_replaced(found: Sequence[Taking]) -> str:
    """A word that is another where anything else would be replaced: what was shown is what is kept."""
    told = [(str(one.record.pk), one.changes) for one in found if one.record and one.replaces]
    return sha256(repr(told).encode()).hexdigest()[:16] if told else ""


def _beside(kept: FleetMachine, machine: Machine, record: MachineRecord, *, in_job: bool) -> Taking:
    old = getattr(record, "fleet", None)
    entry, stands = _entry(kept, old, in_job=in_job)
    sheet = record.sheet if describes(record.sheet, machine) else kept.sheet
    was, now = _told(record.sheet, old), _told(sheet, entry)
    owner = record.customer.name if record.customer else ""
    was["customer"], now["customer"] = (owner, owner), (kept.customer or owner,) * 2
    nothing = ("", "")
    changes = tuple(
        Change(column, was.get(column, nothing)[0], now.get(column, nothing)[0])
        for column in dict.fromkeys((*was, *now))
        if was.get(column, nothing)[1] != now.get(column, nothing)[1]
    )
    return Taking(kept, machine, record, sheet, entry, changes, stands)


def _entry(kept: FleetMachine, old: FleetEntry | None, *, in_job: bool) -> tuple[FleetEntry, date | None]:
    """The entry as it will be, and the day of the reading that stands because it is later than the table's."""
    entry, stands = copy(old) if old else FleetEntry(), None
    entry.number, entry.every = kept.number or entry.number, kept.every or entry.every
    on, said = _day(kept.read_on), _day(kept.due_on)
    if kept.reading or on:
        if read_later(entry, on) or (in_job and not entry.reading and entry.read_on == on):
            stands = entry.read_on
        else:
            if on and on != entry.read_on:
                entry.due_said = None  # a later reading has met the day that was named
            entry.due_said = said or entry.due_said
            typed = {name: getattr(kept, name) for name in AS_TYPED}
            entry.reading = json.dumps(typed, ensure_ascii=False) if kept.reading else ""
            entry.read_on = on
    elif said:
        entry.due_said = said
    entry.due_on = due_after(entry)
    forget_worked(entry)
    return entry, stands


def _told(sheet: str, entry: FleetEntry | None) -> dict[str, tuple[str, object]]:
    """What is known of a machine, by column: as typed, and what it is, however its figures are written."""
    data = _data(sheet)
    found = {column: (text, _meant(column, text, data.get("decimal_mark"))) for column, text in _places(data)}
    if entry is not None:
        typed = json.loads(entry.reading) if entry.reading else {}
        beside = {name: typed.get(name, "") for name in AS_TYPED if name != "mark"}
        beside |= {"number": entry.number, "every": str(entry.every or "")}
        beside |= {"read_on": _iso(entry.read_on), "due_on": _iso(entry.due_on)}
        found |= {column: (text, _meant(column, text, typed.get("mark"))) for column, text in beside.items()}
    return found


def _meant(column: str, text: str, mark: object) -> object:
    if not text or len(text) > LONGEST or not is_figure(column):
        return text
    return leading_number(text, decimal_mark="," if mark == "," else ".") or text


def _places(data: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str, str]]:
    """Every filled place of a sheet by its column, else by its own name."""
    if isinstance(data, Mapping):
        for key, value in data.items():
            if path or key not in NOT_TOLD:
                yield from _places(value, (*path, key))
    elif isinstance(data, list) and any(isinstance(row, Mapping) for row in data):
        for at, row in enumerate(data):
            yield from _places(row, (*path, at))
    else:
        place = spoken(path)
        yield BY_PLACE.get(place, place), "; ".join(map(str, data)) if isinstance(data, list) else str(data)


def _data(sheet: str) -> dict[str, Any]:
    try:
        return parsed(sheet)
    except ValueError:
        return {
            "sheet": 1,
            "notes": sheet,
        }  # what cannot be read is replaced all the same: shown as it stands


def _day(text: str) -> date | None:
    return date.fromisoformat(text) if text else None


def _iso(day: date | None) -> str:
    return day.isoformat() if day else ""
