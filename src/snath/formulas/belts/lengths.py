"""Read the number on a belt: which length of which line, and how far a new belt may be off."""

import re
from dataclasses import dataclass
from functools import cache
from typing import Any, Literal

from snath.formulas.belts.sections import SI, Fact, fact, groove_of, tables
from snath.quantities.errors import InputError
from snath.quantities.message import Message

Line = Literal["datum", "outside", "inside"]


@dataclass(frozen=True, slots=True)
class BeltName:
    """A designation taken apart: "AX42" is section AX, number 42."""

    section: str
    number: int


def read_name(text: str) -> BeltName:
    """The section and the number of a designation such as A42, 4L460 or SPA 1250.

    Parameters
    ----------
    text : str
        As printed on the belt; spaces, hyphens and lower case do not matter.

    Returns
    -------
    BeltName
        With a section of the tables.

    Raises
    ------
    InputError
        If it is none of the designations known here.
    """
    plain = re.sub(r"[\s-]+", "", text).upper()
    for section in sorted(tables()["runs_in"], key=len, reverse=True):
        rest = plain.removeprefix(section)
        if rest != plain and rest.isdecimal() and 0 < len(rest) <= 5:
            return BeltName(section, int(rest))
    raise InputError(
        "belt",
        text,
        Message("belt.designation"),
    )


def length(name: BeltName, line: Line) -> Fact:
    """Length of one line of a belt by its designation.

    Parameters
    ----------
    name : BeltName
        Section and number.
    line : str
        "datum", "outside" or "inside".

    Returns
    -------
    Fact
        With the page of the rule. [m]

    Raises
    ------
    InputError
        If no page gives that length for the section, or the number is beyond the rule.
    """
    rows = _rows(name.section)
    for row in rows:
        if row["line"] == line:
            if name.number > int(row["to"]):
                raise InputError(
                    "belt",
                    f"{name.section}{name.number}",
                    Message("belt.ends-at", number=int(row["to"])),
                )
            value = (name.number * float(row["per"]) + float(row["add"])) * SI[row["unit"]]
            printed = f"number x {row['per']} + {row['add']} {row['unit']}"
            return Fact(value, printed, row["source"], row["edition"], row["standing"])
    known = tuple(row["line"] for row in rows)
    raise InputError("length line", line, Message("belt.no-line-page", section=name.section, known=known))


def measured_line(section: str) -> Line:
    """The line on which lengths of a section are reckoned here: datum where a page gives it, else outside."""
    lines = [row["line"] for row in _rows(section)]
    return "datum" if "datum" in lines else "outside"


@cache
def line_depth(section: str) -> float:
    """How far the reckoned line of a section lies below the belt's top. [m]

    Parameters
    ----------
    section : str
        Belt section.

    Returns
    -------
    float
        Half the groove offset for a datum length, 0 for an outside length. [m]
    """
    from_rim: dict[str, Fact] = {row["section"]: fact(row) for row in tables()["offset"]}
    return from_rim[groove_of(section)].value / 2 if measured_line(section) == "datum" else 0.0


def tolerance(name: BeltName) -> Fact:
    """By how much a new belt may be longer or shorter than named.

    Parameters
    ----------
    name : BeltName
        Section and number.

    Returns
    -------
    Fact
        Plus or minus. [m]

    Raises
    ------
    InputError
        If no page gives it: measure the belt, or state a tolerance.
    """
    if groove_of(name.section) in "ABCD":
        for row in tables()["length_tolerance"]:
            if name.number <= int(row["to"]):
                return fact(row)
    raise InputError("belt", f"{name.section}{name.number}", Message("belt.no-length-tolerance"))


def _rows(section: str) -> list[dict[str, Any]]:
    groove = groove_of(section)
    return [row for row in tables()["designation"] if row["section"] == groove]
