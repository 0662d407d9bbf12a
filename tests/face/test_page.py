"""The pages on Python: every example on them runs as a reader would type it, and no attribute is left out."""

import doctest
import inspect
import re
from dataclasses import fields, is_dataclass
from pathlib import Path

import pytest
from scripts.docstrings import entries, sections
from scripts.face_page import attributes, parts

import snath

EXAMPLE = re.compile(r"```python\n(.*?)```", re.DOTALL)


def test_every_example_of_the_page_runs(capsys):
    examples = EXAMPLE.findall(Path("docs/python.md").read_text("utf-8"))
    names: dict[str, object] = {}
    for example in examples:
        exec(compile(example, "docs/python.md", "exec"), names)
    assert len(examples) == 8
    assert "19,000 ft/min" in capsys.readouterr().out


def test_every_name_shows_an_example_that_runs():
    names = {name: getattr(snath, name) for name in snath.__all__ if name.islower() and name[0] != "_"}
    runner, finder = doctest.DocTestRunner(), doctest.DocTestFinder(recurse=False)
    told = [
        one
        for name, thing in {**names, "InputError": snath.InputError}.items()
        for one in finder.find(thing, name, globs={"snath": snath})
    ]
    assert [one.name for one in told if not one.examples] == []
    assert [one.name for one in told if runner.run(one).failed] == []


QUANTITY = re.compile(r'as "[0-9][0-9,. ]*[^0-9"]+"')  # a text that is a figure with its unit
RANGE = re.compile(r"\d[\d,.e]*( \w+)? to (its length|\d)|\d or more")
FREE = {"decimal_mark", "today"}  # as somebody writes; any day


def left_out(function) -> list[str]:
    """What the docstring of a public function does not say: a parameter, a range, a unit, an error, a source."""
    told = sections(inspect.getdoc(function) or "")
    rows = [(name, kind, text) for names, kind, text in entries(told.get("Parameters", [])) for name in names]
    found = [
        f"{name} is not told"
        for name in inspect.signature(function).parameters
        if name not in {n for n, *_ in rows}
    ]
    for name, kind, text in rows:
        figure = QUANTITY.search(text) or re.match(r"(float|int)\b", kind)
        if figure and name not in FREE and not RANGE.search(text):
            found.append(f"{name} does not say its range")
        if kind.startswith("float") and not re.search(r"\[[^\[\]]+\]|(?i:turn)", text):
            found.append(f"{name} does not say its unit")
    return found + [f"no {head}" for head in ("Returns", "Raises", "References") if not told.get(head)]


@pytest.mark.parametrize("name", [name for name in snath.__all__ if name.islower() and name[0] != "_"])
def test_every_function_tells_range_unit_errors_and_source(name):
    assert left_out(getattr(snath, name)) == []


def test_the_guard_of_ranges_and_sources_bites():
    def planted(blade, ratio, clock, other):
        """Something.

        Parameters
        ----------
        blade : str
            Its length, as "22 in".
        ratio : float
            Turns of the blade for one of the engine.
        clock : float
            Counts a second, 0 to 1e12.
        """

    assert left_out(planted) == [
        "other is not told",
        "blade does not say its range",
        "ratio does not say its range",
        "clock does not say its unit",
        "no Returns",
        "no Raises",
        "no References",
    ]


def test_every_attribute_of_an_answer_is_told_once():
    classes = [getattr(snath, name) for name in snath.__all__ if not name.islower()]
    held = {one.__name__: one for one in (*classes, *parts(classes)) if is_dataclass(one)}
    told = {name: [n for row in entries(attributes(one)) for n in row[0]] for name, one in held.items()}
    assert {"TakeAnswer", "PullsAnswer", "Rule", "Window"} <= set(told)
    assert {name: sorted(of) for name, of in told.items()} == {
        name: sorted(one.name for one in fields(of)) for name, of in held.items()
    }
