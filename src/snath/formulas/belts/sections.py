"""Hold what a belt section fixes: its groove, the depth of its datum circle, and the source of each."""

import math
import tomllib
from dataclasses import dataclass
from functools import cache
from typing import Any

from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.quantities.shipped import shipped_text

SI = {"in": 0.0254, "mm": 0.001, "deg": math.pi / 180, "1": 1.0}  # to SI, exact by definition


@dataclass(frozen=True, slots=True)
class Fact:
    """One figure of the section tables with its page. `value` in SI, `printed` as in the source."""

    value: float
    printed: str
    source: str
    edition: str
    standing: str


@cache
def tables() -> dict[str, Any]:
    """The section tables as they stand in `sections.toml`."""
    return tomllib.loads(shipped_text("snath.formulas.belts", "sections.toml"))


def groove_of(section: str) -> str:
    """The groove a belt or sheave section belongs to: an AX belt runs in an A groove.

    Raises
    ------
    InputError
        If the section is not in the tables; names those that are.
    """
    known: dict[str, str] = tables()["runs_in"]
    if section not in known:
        raise InputError("section", section, Message("fault.one-of", known=tuple(known)))
    return known[section]


def has_offset(section: str) -> bool:
    """Whether a page tells how far the datum circle of this groove lies inside its rim."""
    return groove_of(section) in _offsets()


def offset_fact(section: str) -> Fact:
    """Outside less datum diameter of a groove, with its page.

    Raises
    ------
    InputError
        If no page is known for the section: the ratio must then be counted.
    """
    groove = groove_of(section)
    if groove not in _offsets():
        raise InputError(
            "section",
            section,
            Message("belt.no-datum-depth", groove=groove),
        )
    return _offsets()[groove]


def groove_offset(section: str) -> float:
    """Outside diameter less datum diameter of a sheave of this section. [m]

    Parameters
    ----------
    section : str
        Belt or groove section, "A", "AX", "SPB".

    Returns
    -------
    float
        Never negative. [m]

    Raises
    ------
    InputError
        If the section is unknown, or no page gives the offset of its groove.
    """
    return offset_fact(section).value


def combination_depths(section: str) -> tuple[float, ...]:
    """How much deeper than in its own groove a belt lies in an A/B combination groove, along the radius.

    Parameters
    ----------
    section : str
        Belt section, "A", "BX".

    Returns
    -------
    tuple of float
        Every figure a page gives, negative where it lies higher; empty for a section such grooves do not
        take. [m]
    """
    groove = groove_of(section)
    own = groove_offset(groove) if has_offset(groove) else 0.0
    rows = [fact(row) for row in tables()["combination"] if row["section"] == groove]
    return tuple((row.value - own) / 2 for row in rows)


@cache
def _offsets() -> dict[str, Fact]:
    return {row["section"]: fact(row) for row in tables()["offset"]}


def fact(row: dict[str, str]) -> Fact:
    """A table row as a fact in SI."""
    return Fact(
        value=float(row["value"]) * SI[row["unit"]],
        printed=f"{row['value']} {row['unit']}",
        source=row["source"],
        edition=row["edition"],
        standing=row["standing"],
    )
