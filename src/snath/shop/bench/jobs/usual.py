"""What a machine of each kind usually turns, straight on its crankshaft: what its form begins with, and asks first."""

from collections.abc import Mapping
from dataclasses import dataclass

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from snath.decisions.machine.clutch import BY_SPEED, RIDERS
from snath.decisions.machine.parts import CRANKSHAFT
from snath.shop.bench.jobs.box import Box
from snath.shop.bench.jobs.boxes_machine import KINDS
from snath.shop.bench.jobs.boxes_part import MEASURED, PART_CHOICES, boxes_of_part, shape_of
from snath.shop.bench.jobs.entries import Entries, choose, rows


@dataclass(frozen=True, slots=True)
class Turns:
    """A part: its kind's key, and what the form calls it."""

    key: str
    called: str | Promise


BLADE = Turns("blade", _("blade"))
OF_KIND: Mapping[str, Turns] = {
    "string trimmer": Turns("string_head", _("string head")),
    "cut-off saw": Turns("wheel", _("wheel")),
    "generator": Turns("alternator", _("alternator")),
    "pressure washer": Turns("pump", _("pump")),
    "PTO machine": Turns("other", _("driven shaft")),
    "tiller": Turns("other", _("tines")),
    "chipper": Turns("disc", _("knife disc")),
    "snow thrower": Turns("disc", _("impeller")),
    "go-kart": Turns("other", _("clutch")),
    "other": Turns("other", _("part")),
}  # every other kind turns a blade
ASKED = ("name", "kind", "rated_max")  # of the machine and its engine
ASKED_OF_SHAPE: Mapping[str, tuple[str, ...]] = {
    "string head": ("diameter", "surface_max", "speed_max"),
    "wheel": ("diameter", "marked_class", "speed_max"),
    "disc": ("diameter", "surface_max", "speed_max"),
    "alternator": ("poles", "frequency_max", "frequency_min"),
    "driven": ("speed_max", "source", "unlimited"),
}  # of a blade: how it was measured, and those sizes


def turns(kind: str) -> Turns:
    """What a machine of this kind usually turns."""
    return OF_KIND.get(kind, BLADE)


def part_of(kind: str) -> Entries:
    """The boxes of that part as its form begins."""
    return {"p0_kind": turns(kind).key, "p0_name": str(turns(kind).called)}


def is_usual(entries: Entries) -> bool:
    """Whether it is a machine as its kind usually is, its one part straight on the crankshaft."""
    part = turns(choose(entries, "kind", KINDS)).key
    return (
        (rows(entries, "drive"), rows(entries, "part")) == (0, 1)
        and choose(entries, "p0_kind", PART_CHOICES) == part
        and entries.get("p0_shaft", CRANKSHAFT) == CRANKSHAFT
    )


def asked_of_machine(kind: str) -> tuple[str, ...]:
    """Names of the boxes that stand open for a usual machine: its clutch where a wrong guess would hide something."""
    return (*ASKED, "clutch") if kind in (*RIDERS, *BY_SPEED) else ASKED


def asked_of_part(kind: str, several: tuple[Box, ...]) -> tuple[str, ...]:
    """Names of a part's boxes that stand open for a usual machine."""
    shape = shape_of(kind)
    return ASKED_OF_SHAPE.get(shape, tuple(box.name for box in several if box.needed))


def following(entries: Entries) -> Entries:
    """The boxes after another kind of machine was chosen: a part nobody has typed anything about is that kind's."""
    kind, before = choose(entries, "kind", KINDS), entries.get("drawn_for", "")
    begun = before != "" and is_usual(entries | {"kind": before}) and not _typed(entries)
    new = part_of(kind) if begun and before != kind else {}
    return entries | {"drawn_for": kind} | new


def _typed(entries: Entries) -> bool:
    """Whether any of its part's sizes was."""
    kind = choose(entries, "p0_kind", PART_CHOICES)
    boxes = boxes_of_part(kind, choose(entries, "p0_measured", MEASURED))
    return any(entries.get(f"p0_{box.name}") for box in boxes if box.fill != "choice")
