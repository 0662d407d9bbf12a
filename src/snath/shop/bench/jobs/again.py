"""The same machine again: its sizes as they stood last time, to be confirmed in one go or changed one by one."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from django import forms

from snath.shop.bench.jobs.entries import Entries
from snath.shop.bench.jobs.machine_form import MachineForm
from snath.shop.bench.words import said

# What of a sheet wears, is ground or exchanged from one year to the next, with the row it belongs to.
SIZE = re.compile(
    r"(?P<row>[dp][0-9]+)_(?:length|arm_1|arm_2|width|diameter|new_largest"
    r"|(?:driver|driven)_(?:outside|datum|teeth)|turns_in|turns_out|resolution)"
)


@dataclass(frozen=True, slots=True)
class Sized:
    """One part or drive by its name, with the boxes that hold its sizes."""

    name: str
    boxes: list[forms.BoundField]


def sized(form: MachineForm) -> list[Sized]:
    """Every part and drive that has a size on the sheet."""
    rows: dict[str, list[forms.BoundField]] = {}
    for name in form.fields:
        found = SIZE.fullmatch(name)
        if found and (form.entries.get(name) or form[name].errors):
            rows.setdefault(found["row"], []).append(form[name])
    return [Sized(_name(form.entries, row), boxes) for row, boxes in rows.items()]


def changed(last: Entries, typed: Entries) -> Entries:
    """Last time's boxes with the sizes that were typed."""
    return last | {name: value for name, value in typed.items() if name in last and SIZE.fullmatch(name)}


def others_wrong(form: MachineForm) -> Iterator[str]:
    """Faults at boxes this page does not show, by their words."""
    for name, faults in form.errors.items():
        if not SIZE.fullmatch(name):
            label = form.fields[name].label if name in form.fields else ""
            yield from (f"{label}: {fault}" if label else str(fault) for fault in faults)


def _name(entries: Entries, row: str) -> str:
    return said(entries.get(f"{row}_{'name' if row[0] == 'p' else 'driven'}", ""))
