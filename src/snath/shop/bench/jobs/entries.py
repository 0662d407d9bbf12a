"""What the boxes of the guided machine form hold, by name: a blank one, one from a sheet, one with a row more."""

import re
from collections.abc import Mapping
from typing import Any

from django.http import QueryDict
from django.utils.translation import gettext

from snath.decisions.machine.clutch import clutch_word
from snath.decisions.machine.parts import CRANKSHAFT
from snath.decisions.machine.sheet_schema import MOST_COUPLINGS, MOST_MEMBERS
from snath.quantities.numbers import DecimalMark, in_mark
from snath.quantities.toml_text import parsed
from snath.rules.scope import use_word
from snath.shop.bench.jobs.box import Box, Choices
from snath.shop.bench.jobs.boxes_drive import DRIVE, DRIVE_KINDS, DRIVE_MORE, DRIVE_OF, FLUSH
from snath.shop.bench.jobs.boxes_machine import ENGINE, ENGINE_MORE, MACHINE, MACHINE_MORE, MAKER
from snath.shop.bench.jobs.boxes_part import ARMS_MEASURED, NOT_SAID, PART, PART_CHOICES, boxes_of_part
from snath.shop.bench.show import unit_word

MOST_ROWS = {"drive": MOST_COUPLINGS, "part": MOST_MEMBERS}
Entries = dict[str, str]
# Keys of a sheet whose texts are words, whatever figures stand in them.
WORDS = (
    *(
        "name",
        "serial",
        "code",
        "source",
        "notes",
        "shaft",
        "kind",
        "market",
        "datum_offset_source",
        "sizes_from",
    ),
    *("unlimited", "made", "marked_class"),
    *("driver_part", "driven_part", "driver_pulley", "driven_pulley"),
)


def rows(entries: Entries, kind: str) -> int:
    """How many rows of a kind there are."""
    count = entries.get(f"{kind}s", "")
    return min(int(count), MOST_ROWS[kind]) if count.isascii() and count.isdecimal() and len(count) < 4 else 0


def choose(entries: Entries, name: str, choices: Choices) -> str:
    """A choice as made, or the first."""
    known = [key for key, _ in choices]
    return entries[name] if entries.get(name) in known else known[0]


def blank(**known: str) -> Entries:
    """A machine with one blade on its crankshaft."""
    start = {"kind": "walk-behind rotary mower", "use": "at home", "drives": "0", "parts": "1"}
    return start | {"p0_name": gettext("blade"), "p0_shaft": CRANKSHAFT, "p0_measured": ARMS_MEASURED} | known


def from_post(post: QueryDict) -> Entries:
    """The boxes as sent."""
    return {name: str(post.get(name, "")) for name in post}


def from_sheet(text: str, mark: DecimalMark) -> Entries:
    """The boxes of a sheet that has been read before, figures in the decimal mark of whoever opens it."""
    data = parsed(text)
    if data.get("decimal_mark", ".") != mark:
        data = _swapped(data)
    entries: Entries = {}
    engine = data.get("engine", {})
    if "clutch" in engine:
        data["engine"] = engine | {"clutch": clutch_word(data["kind"], engine["clutch"])}
    data["use"] = use_word(data.get("use", "at home"))
    _take(entries, "", (*MACHINE, *MACHINE_MORE, *ENGINE, *ENGINE_MORE, *MAKER), data)
    drives, parts = data.get("coupling", []), data.get("member", [])
    entries |= {"drives": str(len(drives)), "parts": str(len(parts))}
    for at, row in enumerate(drives):
        kind = next(key for key, _ in DRIVE_KINDS if key in row)
        entries[f"d{at}_kind"] = kind
        _take(entries, f"d{at}_", (*DRIVE, *DRIVE_MORE), {"driver": CRANKSHAFT} | row)
        if kind != "direct":
            _take(entries, f"d{at}_", DRIVE_OF[kind], row[kind])
    for at, row in enumerate(parts):
        kind = next(key for key, _ in PART_CHOICES if key in row)
        inner = {"measured": NOT_SAID if "length" in row[kind] else ARMS_MEASURED} | row[kind]
        entries[f"p{at}_kind"] = kind
        _take(entries, f"p{at}_", PART, {"shaft": CRANKSHAFT} | row)
        _take(entries, f"p{at}_", boxes_of_part(kind, inner["measured"]), inner)
    return entries


def _swapped(value: Any) -> Any:
    """The same with point and comma exchanged in every figure that has a unit behind it; words stay as they are."""
    if isinstance(value, Mapping):
        return {key: one if key in WORDS else _swapped(one) for key, one in value.items()}
    if isinstance(value, list):
        return [_swapped(one) for one in value]
    return in_mark(value, ",") if isinstance(value, str) else value


def _take(entries: Entries, prefix: str, several: tuple[Box, ...], table: Mapping[str, Any]) -> None:
    for box in several:
        value: Any = table
        for step in box.path:
            inside = isinstance(value, Mapping) and step in value
            listed = isinstance(value, list) and isinstance(step, int) and step < len(value)
            value = value[step] if inside or listed else None
        if box.path and value is not None and value is not False:
            text = "; ".join(value) if isinstance(value, list) else _text(value)
            entries[prefix + box.name] = (
                text.replace("rpm", unit_word("rpm")) if box.fill == "speed" else text
            )


def _text(value: Any) -> str:
    return "on" if value is True else str(value)


def after(entries: Entries, do: str) -> Entries:
    """The boxes after a row was added, repeated or removed, or every groove was seen to be flush."""
    entries = dict(entries)
    drives, parts = rows(entries, "drive"), rows(entries, "part")
    if do == "add-drive" and drives < MOST_ROWS["drive"]:
        entries[f"d{drives}_driven"] = gettext("spindle %(number)d") % {"number": drives + 1}
        entries["drives"] = str(drives + 1)
    elif do == "add-part" and parts < MOST_ROWS["part"]:
        entries[f"p{parts}_name"] = gettext("blade %(number)d") % {"number": parts + 1}
        entries["parts"] = str(parts + 1)
    elif do == "one-more" and 0 < drives < MOST_ROWS["drive"] and parts < MOST_ROWS["part"]:
        entries |= _repeated(entries, "d", drives - 1, drives) | _repeated(entries, "p", parts - 1, parts)
        entries[f"d{drives}_driven"] = gettext("spindle %(number)d") % {"number": drives + 1}
        entries[f"p{parts}_name"] = gettext("blade %(number)d") % {"number": parts + 1}
        entries[f"p{parts}_shaft"] = entries[f"d{drives}_driven"]
        entries |= {"drives": str(drives + 1), "parts": str(parts + 1)}
    elif do == "all-flush":
        for start in (f"d{at}_{end}" for at in range(drives) for end in ("driver", "driven")):
            entries |= {f"{start}_rides": FLUSH, f"{start}_by": ""}
    elif match := re.fullmatch(r"remove-([dp])([0-9]{1,2})", do):
        letter, at = match.group(1), int(match.group(2))
        entries = _without(entries, letter, at, drives if letter == "d" else parts)
    return entries


def _repeated(entries: Entries, letter: str, like: int, at: int) -> Entries:
    start = f"{letter}{like}_"
    return {
        f"{letter}{at}_{name.removeprefix(start)}": value
        for name, value in entries.items()
        if name.startswith(start)
    }


def _without(entries: Entries, letter: str, at: int, count: int) -> Entries:
    if at >= count:
        return entries
    kept = {name: value for name, value in entries.items() if not re.match(rf"{letter}[0-9]+_", name)}
    for place in range(count):
        if place != at:
            kept |= _repeated(entries, letter, place, place - (place > at))
    return kept | {{"d": "drives", "p": "parts"}[letter]: str(count - 1)}
