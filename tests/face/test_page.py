"""The pages on Python: every example on them runs as a reader would type it, and no attribute is left out."""

import doctest
import re
from dataclasses import fields, is_dataclass
from pathlib import Path

from scripts.docstrings import entries
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


def test_every_attribute_of_an_answer_is_told_once():
    classes = [getattr(snath, name) for name in snath.__all__ if not name.islower()]
    held = {one.__name__: one for one in (*classes, *parts(classes)) if is_dataclass(one)}
    told = {name: [n for row in entries(attributes(one)) for n in row[0]] for name, one in held.items()}
    assert {"TakeAnswer", "PullsAnswer", "Rule", "Window"} <= set(told)
    assert {name: sorted(of) for name, of in told.items()} == {
        name: sorted(one.name for one in fields(of)) for name, of in held.items()
    }
