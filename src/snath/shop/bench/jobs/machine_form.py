"""The guided machine form: its boxes in groups, and every fault of the sheet they amount to at its box."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django import forms
from django.utils.functional import Promise
from django.utils.text import format_lazy
from django.utils.translation import gettext, gettext_lazy

from snath.decisions.machine.parts import CRANKSHAFT, Machine
from snath.decisions.machine.sheet import read_sheet
from snath.decisions.machine.sheet_text import Composed
from snath.formulas.belts.sections import tables
from snath.quantities.errors import InputError, InputErrors
from snath.quantities.message import Message
from snath.quantities.toml_text import without_line
from snath.shop.bench.fields import NOTHING, another_unit, plainly
from snath.shop.bench.jobs.box import OWN_UNIT, Box
from snath.shop.bench.jobs.boxes_drive import DRIVE, DRIVE_KINDS, DRIVE_MORE, DRIVE_OF
from snath.shop.bench.jobs.boxes_machine import (
    ENGINE,
    ENGINE_MORE,
    KINDS,
    MACHINE,
    MACHINE_MORE,
    MAKER,
)
from snath.shop.bench.jobs.boxes_part import MARKED, MEASURED, PART, PART_CHOICES, boxes_of_part
from snath.shop.bench.jobs.compose import composed
from snath.shop.bench.jobs.entries import Entries, blank, choose, rows
from snath.shop.bench.jobs.usual import asked_of_machine, asked_of_part, is_usual, part_of
from snath.shop.bench.preferences import Preferences
from snath.shop.bench.refusals import speak
from snath.shop.bench.words import said

IF_KNOWN = gettext_lazy("(if known)")
BELT_BOXES_SHOWN = 7  # section, sizes, and how the belt rides in both
# Another kind needs other boxes: the page asks for them itself, or by the button where there are no scripts.
REDRAWS = {
    "hx-post": "",
    "hx-vals": '{"do": "show"}',
    "hx-trigger": "change",
    "hx-target": "#machine-form",
    "hx-select": "#machine-form",
    "hx-swap": "outerHTML",
}


# Faults of a sheet that its boxes say in other words.
OF_BOXES = {
    "sheet.needs-limit": gettext_lazy(
        "nothing was typed: what limits this part must be given, here or beside it. It is marked on the part "
        "or stands in its manual; without it nothing can be judged"
    ),
    "sheet.ride-by-alone": gettext_lazy("say above whether the belt lies too deep or stands above the rim"),
}


@dataclass(frozen=True, slots=True)
class Group:
    """A fieldset as the page shows it: its boxes, those that are tucked away, and how it is removed."""

    title: str | Promise
    names: tuple[str, ...]
    more: tuple[str, ...] = ()
    more_title: str | Promise = ""
    remove: str = ""
    drawing: str = ""  # of what is to be measured


class MachineForm(forms.Form):
    """All boxes of one machine, flat; which there are depends on the kinds chosen in its rows."""

    use_required_attribute = False

    def __init__(self, entries: Entries, *, preferences: Preferences, sent: bool) -> None:
        super().__init__(entries if sent else None, initial=None if sent else entries)
        self.preferences = preferences
        self.entries = entries
        self.groups: list[Group] = []
        self.counts = {"drives": rows(entries, "drive"), "parts": rows(entries, "part")}
        self.drawn_for, self.usual = choose(entries, "kind", KINDS), is_usual(entries)
        self.start = blank() | part_of(self.drawn_for)
        self._machine_groups()
        for at in range(self.counts["drives"]):
            self._drive_group(at)
        for at in range(self.counts["parts"]):
            self._part_group(at)
        speak(self.fields)

    def group_list(self) -> Iterator[dict[str, Any]]:
        """The groups with their bound boxes, for the template."""
        for group in self.groups:
            tucked = [self[name] for name in group.more]
            yield {
                "title": group.title,
                "boxes": [self[name] for name in group.names],
                "more": tucked,
                "more_title": group.more_title,
                "remove": group.remove,
                "open": any(box.errors or self._told(box) for box in tucked),
                "drawing": group.drawing,
            }

    def _told(self, box: forms.BoundField) -> bool:
        """Whether a box holds something else than it starts with."""
        first = getattr(box.field, "choices", [("",)])[0][0]
        return box.value() not in ("", None, False, first, self.start.get(box.name))

    @property
    def belts(self) -> bool:
        """Whether any belt could be looked at in its grooves."""
        return any(f"d{at}_driver_rides" in self.fields for at in range(self.counts["drives"]))

    def machine(self) -> tuple[Machine, str] | None:
        """The machine of these boxes and its sheet; None with every fault marked at its box."""
        if not self.counts["parts"]:
            self.add_error(None, gettext("Nothing on this machine has a limit yet: add its blade or part."))
        if not self.is_valid():
            return None
        sheet = composed(self.entries, self.preferences.decimal_mark, self.preferences.length)
        try:
            return read_sheet(sheet.text), sheet.text
        except InputErrors as found:
            for fault in found.faults:
                box = self._box_of(sheet, fault.field)
                self.add_error(box, self._refusal(box, fault))
        return None

    def _box_of(self, sheet: Composed, path: str) -> str | None:
        name = sheet.box_of(path)
        return name if name in self.fields else None

    def _refusal(self, box: str | None, fault: InputError) -> str:
        """The fault's words; a box that is only sometimes needed says when."""
        allowed = without_line(fault.allowed)
        code = allowed.code if isinstance(allowed, Message) else ""
        if code in OF_BOXES:
            return str(OF_BOXES[code])
        typed = self.entries.get(box or "", "").strip()
        if (
            code == "sheet.between"
            and any(digit in "123456789" for digit in typed)
            and fault.given == f"{typed} {self.preferences.length}"
        ):
            return another_unit(typed, str(fault.given))
        if fault.given == NOTHING and box and str(self.fields[box].label).endswith(str(IF_KNOWN)):
            return gettext("nothing was typed: must be given once the boxes beside it are filled in")
        return plainly(fault, self.preferences.decimal_mark)

    def _machine_groups(self) -> None:
        every = (*MACHINE, *ENGINE, *MAKER)
        shown = asked_of_machine(self.drawn_for) if self.usual else tuple(box.name for box in every)
        groups = (
            (gettext_lazy("Machine"), MACHINE, MACHINE_MORE, gettext_lazy("More about the machine")),
            (gettext_lazy("Engine"), ENGINE, ENGINE_MORE, gettext_lazy("More about the engine")),
            (
                gettext_lazy("What the machine's maker says"),
                MAKER,
                (),
                gettext_lazy("The maker's no-load speed, with its page"),
            ),
        )
        for title, several, more, more_title in groups:
            visible = tuple(box for box in several if box.name in shown)
            tucked = tuple(box for box in several if box.name not in shown)
            self.groups.append(
                Group(title, self._add("", visible), self._add("", (*tucked, *more)), more_title)
            )

    def _drive_group(self, at: int) -> None:
        prefix = f"d{at}_"
        kind = choose(self.entries, f"{prefix}kind", DRIVE_KINDS)
        rest = DRIVE_OF[kind]
        shown = rest[:BELT_BOXES_SHOWN] if kind == "belt" else rest
        self.groups.append(
            Group(
                gettext("Driven shaft %(number)d") % {"number": at + 1},
                self._add(prefix, (*DRIVE, *shown)),
                self._add(prefix, (*rest[len(shown) :], *DRIVE_MORE)),
                gettext_lazy("More about this drive"),
                remove=f"remove-d{at}",
                drawing="belt" if kind == "belt" else "",
            )
        )

    def _part_group(self, at: int) -> None:
        prefix = f"p{at}_"
        kind = choose(self.entries, f"{prefix}kind", PART_CHOICES)
        boxes = boxes_of_part(kind, choose(self.entries, f"{prefix}measured", MEASURED))
        marked = MARKED if kind in ("blade", "alternator") else MARKED[1:]
        asked = (
            asked_of_part(kind, boxes)
            if self.usual
            else tuple(box.name for box in boxes if box not in marked)
        )
        first = tuple(
            sorted((box for box in boxes if box.name in asked), key=lambda box: asked.index(box.name))
        )
        tucked = tuple(box for box in boxes if box not in first)
        if self.usual:
            tucked = (*PART, *tucked)
        else:
            first = (*PART, *first)
        self.groups.append(
            Group(
                gettext("Blade or part %(number)d") % {"number": at + 1},
                self._add(prefix, first),
                self._add(prefix, tucked),
                gettext_lazy("What it is, and what is marked on it")
                if self.usual
                else gettext_lazy("What is marked on it"),
                remove=f"remove-p{at}",
                drawing="blade" if kind == "blade" else "",
            )
        )

    def _add(self, prefix: str, several: tuple[Box, ...]) -> tuple[str, ...]:
        names = []
        for box in several:
            name = prefix + box.name
            self.fields[name] = self._field(box)
            if box.name in ("kind", "measured", "driven"):
                self.fields[name].widget.attrs |= REDRAWS
            if prefix:
                called = self.entries.get(prefix + ("name" if prefix[0] == "p" else "driven"), "").strip()
                self.fields[name].whose = called  # type: ignore[attr-defined]
            names.append(name)
        return tuple(names)

    def _field(self, box: Box) -> forms.Field:
        # Nothing is required of the form itself: the sheet's own reader says what is missing, in its words.
        label = box.label if box.needed else format_lazy("{} {}", box.label, IF_KNOWN)
        common: dict[str, Any] = {"label": label, "required": False, "help_text": box.hint}
        if box.fill == "flag":
            return forms.BooleanField(**common)
        if box.fill == "choice":
            return forms.ChoiceField(choices=list(box.choices or self._choices(box.name)), **common)
        attrs = {"autocomplete": "off", "spellcheck": "false"}
        if box.fill == "whole":
            attrs["inputmode"] = "numeric"
        widget = forms.Textarea(attrs={"rows": 3}) if box.fill == "long" else forms.TextInput(attrs)
        field = forms.CharField(max_length=5000, widget=widget, **common)
        if box.fill in ("length", "frequency"):
            unit = OWN_UNIT.get(box.fill, self.preferences.length)
            field.printed_unit = unit  # type: ignore[attr-defined]
        return field

    def _choices(self, name: str) -> list[tuple[str, str]]:
        if name == "section":
            return [("", gettext("say which")), *((section, section) for section in tables()["runs_in"])]
        driven = (self.entries.get(f"d{at}_driven", "").strip() for at in range(self.counts["drives"]))
        return [(shaft, said(shaft)) for shaft in dict.fromkeys((CRANKSHAFT, *driven)) if shaft]
