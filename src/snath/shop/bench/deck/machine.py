"""The machine sheet of a drawn deck: one engine pulley, every spindle that hangs on it, a blade under each."""

import re

from django.utils.translation import gettext, ngettext

from snath.decisions.machine.parts import CRANKSHAFT, Machine
from snath.decisions.machine.sheet import read_sheet
from snath.formulas.belts.lengths import read_name
from snath.quantities.errors import InputError, InputErrors
from snath.shop.bench.deck.compose import hand_of
from snath.shop.bench.deck.form import KINDS
from snath.shop.bench.deck.wheels import SPINDLE, wheels_of
from snath.shop.bench.fields import plainly
from snath.shop.bench.jobs.boxes_drive import NOT_LOOKED
from snath.shop.bench.jobs.boxes_part import NOT_SAID
from snath.shop.bench.jobs.compose import composed
from snath.shop.bench.jobs.entries import Entries
from snath.shop.bench.preferences import Preferences

NO_LENGTH = re.compile(r"member\[\d+\]\.blade\.arms")  # what an empty blade length amounts to on a sheet
# Which box of the drawing a box of the machine form was filled from.
DRAWN = {
    "blade": "blade",
    "length": "blade",
    "measured": "measured",
    "driver_rides": "rides",
    "driven_rides": "rides",
    "section": "belt",
    "driver_outside": "w0_size",
}


def machine_of(entries: Entries, preferences: Preferences) -> tuple[Machine, str] | list[tuple[str, str]]:
    """The machine and its sheet; or every fault, box by box."""
    boxes = _boxes(entries, preferences)
    sheet = composed(boxes, preferences.decimal_mark, preferences.length)
    try:
        return read_sheet(sheet.text), sheet.text
    except InputErrors as found:
        faults = {
            _drawn(sheet.box_of(fault.field), entries): plainly(fault, preferences.decimal_mark)
            for fault in found.faults
            if not NO_LENGTH.fullmatch(fault.field)
        }
        return sorted((faults | _open(entries)).items())


def _open(entries: Entries) -> dict[str, str]:
    """What of the new machine's own boxes says too little, in the words of those boxes."""
    told = {}
    if not entries.get("blade", "").strip():
        told["blade"] = gettext("nothing was typed: must be the blade's length, tip to tip")
    if belt := entries.get("belt", "").strip() if not _section(entries) else "":
        told["belt"] = gettext(
            "“%(belt)s” tells no V-belt section: give the belt's length and section under More. "
            "A toothed belt is entered as a new machine, by teeth"
        ) % {"belt": belt}
    return told


def _boxes(entries: Entries, preferences: Preferences) -> Entries:
    hand, wheels = hand_of(preferences), wheels_of(entries)
    engine = wheels[0]
    spindles = [wheel for wheel in wheels if wheel.role == SPINDLE]
    kind = entries.get("kind") or KINDS[0][0]

    def length(text: str) -> str:
        return hand.with_unit(text) if text.strip() else ""

    boxes: Entries = {
        "name": entries.get("machine", "").strip() or _called(kind, len(spindles)),
        "kind": kind,
        "use": "at home",
        "prime_mover": "engine",
        "clutch": entries.get("clutch", ""),
        "rated_max": entries.get("rated_max", ""),
        "drives": str(len(spindles)),
        "parts": str(len(spindles)),
    }
    for at, spindle in enumerate(spindles):
        drive = {
            "driven": spindle.shaft,
            "driver": CRANKSHAFT,
            "kind": "belt",
            "section": _section(entries),
            "driver_pulley": engine.name,
            "driver_outside": length(engine.text("size")) if at == 0 else "",
            "driven_outside": length(spindle.text("size")),
            "driver_rides": entries.get("rides") or NOT_LOOKED,
            "driven_rides": entries.get("rides") or NOT_LOOKED,
        }
        part = {
            "name": gettext("blade of the %(shaft)s") % {"shaft": spindle.shaft},
            "shaft": spindle.shaft,
            "kind": "blade",
            "measured": entries.get("measured") or NOT_SAID,
            "length": length(entries.get("blade", "")),
        }
        boxes |= {f"d{at}_{key}": value for key, value in drive.items()}
        boxes |= {f"p{at}_{key}": value for key, value in part.items()}
    return boxes


def _section(entries: Entries) -> str:
    """Of the belt by its print, else as chosen."""
    if entries.get("belt_section"):
        return entries["belt_section"]
    try:
        return read_name(entries.get("belt", "")).section
    except InputError:
        return ""


def _called(kind: str, spindles: int) -> str:
    words = ngettext("%(kind)s, %(n)d spindle", "%(kind)s, %(n)d spindles", spindles)
    return words % {"kind": dict(KINDS).get(kind, kind), "n": spindles}


def _drawn(box: str | None, entries: Entries) -> str:
    """The drawing's own box behind one of the machine form's."""
    if box is None:
        return ""
    if match := re.fullmatch(r"d([0-9]+)_driven_outside", box):
        spindles = [wheel.at for wheel in wheels_of(entries) if wheel.role == SPINDLE]
        return f"w{spindles[int(match[1])]}_size"
    return DRAWN.get(re.sub(r"^[dp][0-9]+_", "", box), box)
