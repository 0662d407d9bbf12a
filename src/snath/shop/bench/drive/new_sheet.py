"""The machine sheet on the shelf after a drive has been exchanged: its pulleys, and nothing else, changed."""

from collections.abc import Mapping
from typing import Any

from snath.decisions.machine.parts import Coupling, Machine, Part
from snath.decisions.machine.sheet import read_sheet
from snath.decisions.machine.sheet_text import toml_text
from snath.formulas.belts.sections import groove_offset, has_offset
from snath.quantities.errors import InputErrors
from snath.quantities.numbers import DecimalMark
from snath.quantities.toml_text import parsed
from snath.shop.bench.drive.kept_route import as_texts, millimetres

CLOSE = 1e-9  # m
ENDS = ("driver", "driven")


def new_sheet(sheet: str, before: Machine, after: Machine) -> str:
    """The sheet with the pulleys that were exchanged; empty where a sheet cannot say what they are.

    A sheet knows one groove depth for both pulleys of a belt, so two kinds of groove have no place on it.
    """
    data = parsed(sheet)
    mark: DecimalMark = "," if data.get("decimal_mark") == "," else "."
    was, now = ({c.driven: c for c in machine.couplings} for machine in (before, after))
    data["coupling"] = [
        _row(row, was[row["driven"]], now[row["driven"]], mark) for row in data.get("coupling", [])
    ]
    text = toml_text(as_texts(data, mark))
    try:
        again = read_sheet(text)
    except InputErrors:
        return ""
    return text if _same_pulleys(again, after) else ""


def _row(row: Mapping[str, Any], was: Coupling, now: Coupling, mark: DecimalMark) -> dict[str, Any]:
    if "belt" not in row:
        return dict(row)
    belt = dict(row["belt"])
    for end, old, new in zip(ENDS, was.parts, now.parts, strict=True):
        if new != old:
            belt = _with_end(belt, end, new, mark)
    offset = now.parts[0].datum_offset
    usual = groove_offset(belt["section"]) if has_offset(belt["section"]) else None
    if offset is not None and (usual is None or abs(offset - usual) > CLOSE):
        belt["datum_offset"] = millimetres(offset, mark)
        belt.setdefault("datum_offset_source", "stock row")
    return {**row, "belt": belt}


def _with_end(belt: dict[str, Any], end: str, part: Part, mark: DecimalMark) -> dict[str, Any]:
    gone = tuple(f"{end}_{what}" for what in ("datum", "part", "by", "groove"))
    belt = {key: value for key, value in belt.items() if key not in gone}
    belt |= {f"{end}_outside": millimetres(part.size.value, mark), "section": part.section}
    belt[f"{end}_rides"] = "flush"  # a new pulley
    return belt | ({f"{end}_part": part.maker_part} if part.maker_part else {})


def _same_pulleys(one: Machine, other: Machine) -> bool:
    pairs = [
        (a, b)
        for first, second in zip(one.couplings, other.couplings, strict=True)
        for a, b in zip(first.parts, second.parts, strict=True)
    ]
    return all(
        a.section == b.section
        and abs(a.size.value - b.size.value) < CLOSE
        and abs((a.datum_offset or 0) - (b.datum_offset or 0)) < CLOSE
        for a, b in pairs
    )
