"""Does each notebook run as a program? What it finds it compares itself, with what was worked by hand or is known."""

import runpy

import pytest

from tests.docs.pages import DOCS
from tests.house.sources import ROOT

NOTEBOOKS = sorted((DOCS / "notebooks").glob("*.py"))


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_a_notebook_runs_as_a_program(path, monkeypatch, capsys):
    monkeypatch.chdir(ROOT)
    runpy.run_path(str(path))
    assert "rpm" in capsys.readouterr().out
    text = path.read_text("utf-8")
    assert text.startswith("# %% [markdown]\n# # ")
    assert "\nassert " in text or "    assert " in text


def test_every_notebook_is_in_the_manual():
    page = (DOCS / "notebooks.md").read_text("utf-8")
    assert len(NOTEBOOKS) == 4
    assert [
        path.name for path in NOTEBOOKS if f"{{literalinclude}} notebooks/{path.name}\n" not in page
    ] == []
