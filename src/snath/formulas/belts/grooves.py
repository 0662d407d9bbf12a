"""Give a sheave's groove by its size: angle, width, and whether it is too small for the belt."""

import math

from snath.formulas.belts.sections import SI, Fact, fact, groove_of, groove_offset, tables
from snath.quantities.errors import InputError, within
from snath.quantities.message import Message


def groove_angle(*, section: str, outside: float) -> Fact:
    """Full angle of a groove by the sheave's size.

    Parameters
    ----------
    section : str
        Belt or groove section.
    outside : float
        Outside diameter, over 0 and at most 5. [m]

    Returns
    -------
    Fact
        [rad]

    Raises
    ------
    InputError
        If no page gives angles for the section.
    """
    diameter = within("outside", outside, 0, 5, "m", open_low=True)
    groove = groove_of(section)
    for row in tables()["groove"]:
        if row["section"] == groove:
            through = float(row["through"]) * SI[row["unit"]] if "through" in row else math.inf
            size = diameter - groove_offset(section) if row["of"] == "datum" else diameter
            if size <= through + 1e-9:
                angle = math.radians(float(row["angle"]))
                return Fact(angle, f"{row['angle']} deg", row["source"], row["edition"], row["standing"])
    raise InputError("section", section, Message("belt.no-groove-angle"))


def datum_width(section: str) -> Fact:
    """Width of a groove at its datum circle. [m]"""
    return _of("datum_width", groove_of(section))


def belt_height(section: str) -> Fact:
    """Height of a belt from top to narrow side. [m]"""
    return _belt(section, "height")


def belt_width(section: str) -> Fact:
    """Width of a belt across its top. [m]"""
    return _belt(section, "width")


def _belt(section: str, what: str) -> Fact:
    row = next((r for r in tables()["belt"] if r["section"] in (section, groove_of(section))), None)
    if row is None:
        raise InputError("section", section, Message("belt.no-page-measure", what=what))
    value = _inches(row[what]) * SI[row["unit"]]
    return Fact(value, f"{row[what]} {row['unit']}", row["source"], row["edition"], row["standing"])


def least_outside(section: str) -> Fact | None:
    """Least outside diameter its makers recommend for a belt section, or None where no page gives one. [m]"""
    row = next((r for r in tables()["least_diameter"] if r["section"] == section), None)
    if row is None:
        return None
    found = fact(row)
    add = groove_offset(section) if row["of"] == "datum" else 0.0
    return Fact(
        found.value + add, f"{found.printed} {row['of']}", found.source, found.edition, found.standing
    )


def _of(table: str, section: str) -> Fact:
    row = next((r for r in tables()[table] if r["section"] == section), None)
    if row is None:
        raise InputError("section", section, Message("belt.no-page", what=table.replace("_", " ")))
    return fact(row)


def _inches(text: str) -> float:
    parts = [p.split("/") for p in text.split()]
    return sum(float(p[0]) / float(p[1]) if len(p) == 2 else float(p[0]) for p in parts)
