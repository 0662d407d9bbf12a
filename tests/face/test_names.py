"""What `import snath` gives: the names somebody else's notebook stands on, how they are called, and when they load."""

import ast
import inspect
import subprocess
import sys
from importlib.metadata import version
from pathlib import Path

import pytest

import snath

# A name or a parameter that goes breaks a notebook: one may be added here, none taken away or put elsewhere.
CALLED = {
    "limit": "(blade, *, width=None, ratio=None, rule=None, market='', rules=None, decimal_mark=None, language='en')",
    "read_sheet": "(sheet, *, decimal_mark='.', language='en')",
    "window": "(machine, *, u=None, instrument=None, accuracy=None, rule=None, market='', rules=None, "
    "decimal_mark=None, language='en')",
    "judge": "(machine, readings, *, u=None, instrument=None, accuracy=None, at='crankshaft', "
    "condition='blades in air', hunting=None, decision='one-sided 95 %', rule=None, market='', rules=None, "
    "decimal_mark=None, language='en')",
    "read": "(recording, machine=None, *, at='crankshaft', condition='blades in air', kind=None, per_turn=None, "
    "clock=None, marks=None, capture_rate=None, from_s=None, to_s=None, data=None, phone='', decimal_mark=None, "
    "language='en')",
    "drive": "(machine, stock, *, route=None, rule=None, most=500000000, market='', rules=None, decimal_mark=None, "
    "language='en')",
    "work": "(job, *, language='en')",
    "fleet": "(machines, *, before=None, sheet='', unit='in', today=None, months=12, workers=1, market='', rules=None, "
    "decimal_mark=None, language='en')",
    "rule_book": "(rules=None, *, decimal_mark='.', language='en')",
}
CLASSES = {
    "Drives",
    "Fleet",
    "InputError",
    "Job",
    "Limit",
    "Recording",
    "RuleBook",
    "Sheet",
    "Verdict",
    "Window",
}


def called(name: str) -> str:
    given = inspect.signature(getattr(snath, name)).parameters.values()
    return str(inspect.Signature([one.replace(annotation=inspect.Parameter.empty) for one in given]))


def test_these_names_are_given_and_no_others():
    assert set(snath.__all__) == {*CALLED, *CLASSES, "__version__"}
    assert set(snath.__all__) <= set(dir(snath))


def test_type_checkers_are_told_the_same_names():
    stub = ast.parse(Path(snath.__file__).with_suffix(".pyi").read_text("utf-8"))
    told = {
        (node.module, one.name)
        for node in stub.body
        if isinstance(node, ast.ImportFrom)
        for one in node.names
    }
    given = {(getattr(snath, name).__module__, name) for name in (*CALLED, *CLASSES)}
    assert told == given


@pytest.mark.parametrize("name", CALLED)
def test_a_function_is_called_as_it_was(name):
    assert called(name) == CALLED[name]


def test_every_parameter_and_answer_has_a_type():
    bare = [
        (name, one.name)
        for name in CALLED
        for one in inspect.signature(getattr(snath, name)).parameters.values()
        if one.annotation is inspect.Parameter.empty
    ]
    returns = [
        n for n in CALLED if inspect.signature(getattr(snath, n)).return_annotation in (None, inspect._empty)
    ]
    assert (bare, returns) == ([], [])


def test_a_name_there_is_not_is_told_as_python_does():
    with pytest.raises(AttributeError, match="no attribute 'limits'"):
        snath.limits  # noqa: B018


def test_the_version_is_that_of_the_package():
    assert snath.__version__ == version("snath")


def test_nothing_is_loaded_before_it_is_used():
    # Property: the bare import loads no library and no room; the quick ask loads nothing of sheets.
    program = (
        "import sys, snath; bare = {m.split('.')[0] for m in sys.modules} & {'numpy', 'scipy', 'pydantic'}\n"
        "rooms = [m for m in sys.modules if m.startswith('snath.')]\n"
        "snath.limit('22 in'); print(bare, rooms, sorted({'pydantic', 'click', 'django', 'av'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "set() [] []"
