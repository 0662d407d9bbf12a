"""Compose the machine sheet of a row from its cells, and tell a fault of the sheet under the column it came from."""

from collections.abc import Iterable, Mapping
from typing import Any

from snath.decisions.machine.parts import CRANKSHAFT
from snath.decisions.machine.sheet_text import Composed, toml_text
from snath.quantities.errors import InputError, InputErrors
from snath.quantities.message import Message
from snath.quantities.numbers import DecimalMark
from snath.quantities.toml_text import spoken, without_line
from snath.shop.fleet.columns import COLUMNS, WHOLE, Place, place_of

SPINDLE = "spindle"


def composed(cells: Mapping[str, str], mark: DecimalMark) -> Composed:
    """The machine sheet of a row, and which column each of its places was filled from.

    Parameters
    ----------
    cells : mapping of str to str
        What was filled in, by column, in the core's own words.
    mark : str
        How numbers are written, which the sheet says of itself.

    Raises
    ------
    InputErrors
        Where a column fills the whole of what another fills a place of.
    """
    data: dict[Any, Any] = {"sheet": 1, "decimal_mark": mark, "engine": {}}
    filled = {"machine": cells.get("number", ""), **cells}
    found = {column: place for column in filled if (place := place_of(column)) and filled[column]}
    places: dict[str, str] = {}
    for column, place in found.items():
        place = _without_gaps(place, found.values())
        places[spoken(place)] = column if column in cells else "number"
        table = data
        for step in place[:-1]:
            table = table.setdefault(step, {})
            if not isinstance(table, dict):  # one column fills the whole table another fills a place of
                raise InputErrors(
                    (InputError(column, filled[column], Message("fleet.heading-unknown", known=COLUMNS)),)
                )
        table[place[-1]] = _value(place[-1], filled[column])
    for rows in ("coupling", "member"):
        data[rows] = [row for _, row in sorted(data.get(rows, {}).items())]
    for row in data["coupling"]:
        row.setdefault("driven", SPINDLE)
    shaft = data["coupling"][0]["driven"] if data["coupling"] else CRANKSHAFT
    for at, row in enumerate(data["member"]):
        kind = next((key for key in row if key not in ("name", "shaft")), "part")
        row.setdefault("name", kind.replace("_", " ") + (f" {at + 1}" if at else ""))
        row.setdefault("shaft", shaft)
    return Composed(toml_text(data), places)


def under_column(fault: InputError, sheet: Composed) -> InputError:
    """A fault of the sheet under the column that filled its place; a missing place under the column that would."""
    column = sheet.box_of(fault.field)
    below = (f"{fault.field}.", f"{fault.field}[")
    filling = ((name, spoken(place)) for name in COLUMNS if (place := place_of(name)))
    known = next((name for name, path in filling if path == fault.field or path.startswith(below)), "")
    return InputError(column or known or fault.field, fault.given, without_line(fault.allowed))


def _without_gaps(place: Place, others: Iterable[Place]) -> Place:
    """The place with its number in a list as it is once the numbers nobody filled are closed up."""
    if len(place) < 2 or not isinstance(place[1], int):
        return place
    used = sorted({one[1] for one in others if one[0] == place[0] and isinstance(one[1], int)})
    return (place[0], used.index(place[1]), *place[2:])


def _value(key: str | int, text: str) -> Any:
    """What stands on the sheet: whole numbers bare where the sheet has them so, several values parted by semicolons."""
    if key in WHOLE and text.isascii() and text.isdecimal() and len(text) < 9:
        return int(text)
    if key in ("arms", "firing_angles"):
        return [part.strip() for part in text.split(";") if part.strip()]
    if key in ("inverter", "direct"):
        return text.lower() in ("yes", "true", "ja")
    return text
