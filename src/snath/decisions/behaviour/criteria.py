"""Hold published figures on the energy of thrown objects, each with what it does not say."""

import tomllib
from dataclasses import dataclass
from functools import cache
from typing import Literal

from snath.formulas.throwing.body import sectional_density
from snath.formulas.throwing.energy import energy_density, kinetic_energy, skin_penetration_speed
from snath.quantities.constants import STANDARD_GRAVITY
from snath.quantities.errors import InputError
from snath.quantities.message import Message, term
from snath.quantities.shipped import shipped_text
from snath.quantities.units import parse

Quantity = Literal["energy", "energy on area", "speed"]
AREA_UNITS = {"J/cm2": 1e4, "m kgf/cm2": 1e4 * float(STANDARD_GRAVITY)}  # J/m^2


@dataclass(frozen=True, slots=True)
class Criterion:
    """One published figure.

    Attributes
    ----------
    id, quantity, printed : str
        What it limits, and its digits as printed.
    source, edition, standing : str
    means, does_not_mean : Message
        One sentence each.
    value : float or None
        [J] or [J/m^2]; None where it is worked out for each object.
    """

    id: str
    quantity: Quantity
    printed: str
    source: str
    edition: str
    standing: str
    means: Message
    does_not_mean: Message
    value: float | None


@dataclass(frozen=True, slots=True)
class Compared:
    """One object at one speed beside one criterion: how many times the figure it carries."""

    criterion: Criterion
    carried: float
    figure: float
    times: float


@cache
def criteria() -> tuple[Criterion, ...]:
    """The table."""
    text = shipped_text("snath.decisions.behaviour", "criteria.toml")
    return tuple(
        Criterion(
            id=row["id"],
            quantity=row["quantity"],
            printed=row["printed"],
            source=row["source"],
            edition=row["edition"],
            standing=row["standing"],
            means=term("criterion", f"{row['id']}-means"),
            does_not_mean=term("criterion", f"{row['id']}-not"),
            value=_value(row["quantity"], row["printed"]),
        )
        for row in tomllib.loads(text)["criterion"]
    )


def compared(*, mass: float, diameter: float, speed: float) -> tuple[Compared, ...]:
    """An object at a speed beside every criterion that speaks of one like it. [kg], [m], [m/s]"""
    found = []
    for criterion in criteria():
        pair = _pair(criterion, mass, diameter, speed)
        if pair is not None:
            found.append(Compared(criterion, pair[0], pair[1], pair[0] / pair[1]))
    return tuple(found)


def _pair(criterion: Criterion, mass: float, diameter: float, speed: float) -> tuple[float, float] | None:
    """What the object carries and the figure; None where the criterion does not speak of such an object."""
    if criterion.quantity == "energy" and criterion.value is not None:
        return float(kinetic_energy(mass=mass, speed=speed)), criterion.value
    if criterion.quantity == "energy on area" and criterion.value is not None:
        return float(energy_density(mass=mass, speed=speed, diameter=diameter)), criterion.value
    try:
        heavy = sectional_density(mass=mass, diameter=diameter)
        return speed, float(skin_penetration_speed(sectional_density=heavy))
    except InputError:
        return None  # heavier or lighter than the balls that were tried


def _value(quantity: str, printed: str) -> float | None:
    if quantity == "energy":
        return parse(printed, dimension="energy", field="criterion", decimal_mark=".").value
    if quantity == "energy on area":
        figure, unit = printed.split(" ", 1)
        return float(figure) * AREA_UNITS[unit]
    return None
