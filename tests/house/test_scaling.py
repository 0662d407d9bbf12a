"""Rescale metre, kilogram and second: each formula must follow the units its own docstring states.

Blind to pure factors such as 2 pi or 60: the cited values are for those.
"""

import inspect
import math
import re
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from snath.quantities.errors import InputError
from tests.house.test_docstrings import entries, formula_modules, public_functions, sections

SCALE = {"m": 1.07, "kg": 0.93, "s": 1.11}  # mild, so that values stay inside their physical ranges
DIMENSIONLESS = ("1", "rev", "rad", "turn", "%")
DERIVED = {
    "N": {"kg": 1, "m": 1, "s": -2},
    "J": {"kg": 1, "m": 2, "s": -2},
    "W": {"kg": 1, "m": 2, "s": -3},
    "Pa": {"kg": 1, "m": -1, "s": -2},
    "Hz": {"s": -1},
    "g": {"kg": 1},
}
USUAL = {  # a middling value of each unit, where the text gives no range
    "m": 0.3, "kg": 0.4, "s": 2.0, "rev/s": 50.0, "m/s": 60.0, "1": 0.4, "rad": 2.5, "N": 300.0, "J": 50.0, "W": 3000.0,
    "Hz": 60.0, "kg/m": 0.1, "kg/m3": 1.2, "m/s2": 9.8, "m2": 0.01, "rad/s": 300.0, "kg m": 0.01,
}  # fmt: skip
RANGE = re.compile(
    r"(?:from |over )?(-?\d+\.?\d*(?:e-?\d+)?) (?:to|and (?:up to|under)) (-?\d+(?:\.\d+)?(?:e-?\d+)?)"
)
OWN_UNITS = {  # formulas that may hold figures with units inside, and why
    "throwing.energy.skin_penetration_speed": "fitted to shots, with its density in g/cm2",
}


def power(unit: str) -> dict[str, int] | None:
    """Exponents of metre, kilogram and second; None for what is no SI unit."""
    found = dict.fromkeys(SCALE, 0)
    for place, part in enumerate(unit.replace("²", "2").replace("³", "3").split("/")):
        for word in part.replace("·", " ").strip("() ").split():
            match = re.fullmatch(r"([A-Za-z%]+|1)\^?(-?\d)?", word)
            if match is None:
                return None
            name, exponent = match.group(1), int(match.group(2) or 1) * (1 if place == 0 else -1)
            if name in DIMENSIONLESS:
                continue
            if name not in DERIVED and name not in SCALE:
                return None
            for base, times in DERIVED.get(name, {name: 1}).items():
                found[base] += times * exponent
    return found


def factor(unit: str) -> float | None:
    """By what a value of this unit grows when the base units are rescaled."""
    exponents = power(unit)
    return None if exponents is None else math.prod(SCALE[base] ** n for base, n in exponents.items())


def unit_of(description: str) -> str | None:
    match = re.search(r"\[([^\[\]]+)\]\s*$", description)
    return match.group(1) if match else None


def middling(description: str, unit: str) -> float:
    """A value inside the range the text states."""
    match = RANGE.search(description)
    low, high = (float(end) for end in match.groups()) if match else (-math.inf, math.inf)
    usual = USUAL.get(unit, 1.0)
    return usual if low * 1.2 < usual < high / 1.2 else low + 0.3 * (high - low)


def scaled_call(function: Callable[..., Any]) -> tuple[Any, Any, list[str]] | None:
    """Its results before and after rescaling, with the units stated for them; None where it takes more than numbers."""
    told = sections(inspect.getdoc(function) or "")
    plain: dict[str, float] = {}
    grown: dict[str, float] = {}
    parameters = inspect.signature(function).parameters
    for names, kind, description in entries(told.get("Parameters", [])):
        unit = unit_of(description)
        if unit is None or factor(unit) is None or not re.search(r"float|array", kind):
            if all(parameters[name].default is not inspect.Parameter.empty for name in names):
                continue
            return None
        for name in names:
            plain[name] = middling(description, unit)
            grown[name] = plain[name] * factor(unit)
    returned = list(entries(told.get("Returns", [])))
    units = [unit_of(description) or "" for _, _, description in returned]
    numbers = all(re.search(r"float|array", " ".join([*names, kind])) for names, kind, _ in returned)
    if not plain or not units or not numbers or any(factor(unit) is None for unit in units):
        return None
    try:
        return function(**plain), function(**grown), units
    except (InputError, TypeError, ValueError, LookupError, ArithmeticError):
        return None  # takes whole series, or the middling values do not go together: its own tests choose better ones


FORMULAS = {
    f"{module.__name__.removeprefix('snath.formulas.')}.{function.__name__}": function
    for module in formula_modules()
    for function in public_functions(module)
}
TRIED = {name: found for name, function in FORMULAS.items() if (found := scaled_call(function)) is not None}


@pytest.mark.parametrize("name", sorted(TRIED))
def test_a_formula_scales_as_its_docstring_says(name):
    before, after, units = TRIED[name]
    if len(units) == 1:
        before, after = [before], [after]
    expected = [np.asarray(one, dtype=float) * factor(unit) for one, unit in zip(before, units, strict=True)]
    grown = [np.asarray(one, dtype=float) for one in after]
    close = all(np.allclose(a, b, rtol=1e-6) for a, b in zip(expected, grown, strict=True))
    assert close != (name in OWN_UNITS), OWN_UNITS.get(name, f"{expected} expected, {grown} found")


def test_a_fair_share_of_the_formulas_was_tried():
    assert len(TRIED) >= 25


def test_the_guard_bites():
    def planted(*, height, gravity):
        """Time of a fall.

        Parameters
        ----------
        height : float
            Drop, 0 to 100. [m]
        gravity : float
            Pull. [m/s2]

        Returns
        -------
        float
            Wrongly without its root. [s]
        """
        return 2 * height / gravity

    before, after, (unit,) = scaled_call(planted)
    assert after != pytest.approx(before * factor(unit))
    assert power("kg m/s2") == {"m": 1, "kg": 1, "s": -2} == power("N")
