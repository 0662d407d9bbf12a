"""Every public formula says what goes in and comes out, with units, and matches its signature."""

import ast
import importlib
import inspect
import re
import textwrap
from collections.abc import Callable, Iterator
from types import ModuleType
from typing import Any

from scripts.docstrings import entries, sections

from snath.quantities.errors import within
from tests.house.sources import ROOT, modules

UNIT = re.compile(r"\[[^\[\]]{1,40}\]\s*$")
# Types that carry no unit of their own: words, switches, and classes that say their units themselves.
UNITLESS = re.compile(
    r"\b(str|bool|int|slice|Generator|callable|Path|None|mapping|dict)\b|\b[A-Z][a-z]+[A-Z]?\w*"
)


RANGE = re.compile(r"\d|\bover 0|\bat least")
# Behind the doors of a method lie its steps, worked out on its page; what is a formula by itself says whose it is.
STEPS = re.compile(r"\.signals\.(?!(sound|strobe|aliases|fusion|film\.read|pulses\.read)\.)")
SOURCED = re.compile(r"^References$|^Fact$|^Grade\b|common practice", re.MULTILINE | re.IGNORECASE)


OWED: set[str] = set()  # still to be written by whoever touches them next; the list may only get shorter


def formula_modules() -> list[ModuleType]:
    source = ROOT / "src"
    names = [".".join(path.relative_to(source).with_suffix("").parts) for path in modules("formulas")]
    return [importlib.import_module(name) for name in names if not name.endswith("__init__")]


def public_functions(module: ModuleType) -> Iterator[Callable[..., Any]]:
    for name, function in vars(module).items():
        if (
            not name.startswith("_")
            and inspect.isfunction(inspect.unwrap(function))
            and function.__module__ == module.__name__
        ):
            yield function


def takes_quantities(function: Callable[..., Any]) -> bool:
    """Physical arguments are keyword-only in this house."""
    kinds = [parameter.kind for parameter in inspect.signature(function).parameters.values()]
    return inspect.Parameter.KEYWORD_ONLY in kinds


def bounds(function: Callable[..., Any]) -> set[str]:
    """Parameters that are held to a range."""
    tree = ast.parse(textwrap.dedent(inspect.getsource(inspect.unwrap(function))))
    calls = [node for node in ast.walk(tree) if isinstance(node, ast.Call)]
    return {
        call.args[1].id
        for call in calls
        if isinstance(call.func, ast.Name) and call.func.id == "within" and isinstance(call.args[1], ast.Name)
    }


def faults(function: Callable[..., Any]) -> list[str]:
    """What its docstring leaves out."""
    text = inspect.getdoc(function)
    if not text:
        return ["no docstring"]
    told = sections(text)
    if not ("Parameters" in told or takes_quantities(function)):
        return []  # a look-up by name, or a step of a method: a sentence is enough
    parameters = [name for name in inspect.signature(function).parameters if not name.startswith("_")]
    found = []
    described: list[str] = []
    for names, kind, description in entries(told.get("Parameters", [])):
        described += names
        if not UNITLESS.search(kind) and not UNIT.search(description):
            found.append(f"parameter {', '.join(names)} has no [unit] at its end")
    if sorted(described) != sorted(parameters):
        found.append(f"describes {described}, takes {parameters}")
    if (
        inspect.signature(function).return_annotation is not None
        and "Returns" not in told
        and "Yields" not in told
    ):
        found.append("no Returns")
    for names, kind, description in entries(told.get("Returns", [])):
        said = " ".join([*names, kind])
        if not UNITLESS.search(said) and not UNIT.search(description):
            found.append(f"return {said} has no [unit] at its end")
    bounded = bounds(function)
    for names, kind, description in entries(told.get("Parameters", [])):
        if bounded & set(names) and not RANGE.search(kind + description):
            found.append(f"parameter {', '.join(names)} does not say its range")
    where = f"{function.__module__}."
    if takes_quantities(function) and not STEPS.search(where) and not SOURCED.search(text):
        found.append("no References")
    raises = "InputError(" in inspect.getsource(function) or "within(" in inspect.getsource(function)
    if raises and "Raises" not in told:
        found.append("no Raises")
    return found


def test_public_formulas_say_shape_unit_and_refusal():
    found = {
        f"{module.__name__}.{function.__name__}": wrong
        for module in formula_modules()
        for function in public_functions(module)
        if (wrong := faults(function))
    }
    new = {name: wrong for name, wrong in found.items() if name not in OWED}
    told = "\n".join(f"{name}: {'; '.join(wrong)}" for name, wrong in new.items())
    assert not new, "\n" + told
    assert sorted(OWED - set(found)) == [], "paid: take these off the list"


def test_the_guard_bites():
    def planted(*, speed, diameter):
        """Something.

        Parameters
        ----------
        speed : float
            How fast.

        Returns
        -------
        float
            The result. [m]
        """
        return speed / diameter

    assert faults(planted) == [
        "parameter speed has no [unit] at its end",
        "describes ['speed'], takes ['speed', 'diameter']",
        "no References",
    ]
    assert faults(lambda: 1) == ["no docstring"]

    def unbounded(*, speed):
        """Something (common practice, no source).

        Parameters
        ----------
        speed : float
            How fast. [m/s]

        Returns
        -------
        float
            The same. [m/s]

        Raises
        ------
        InputError
            Out of range.
        """
        return within("speed", speed, 0, 5, "m/s")

    assert faults(unbounded) == ["parameter speed does not say its range"]
