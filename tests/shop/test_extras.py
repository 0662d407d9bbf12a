"""A library that is not installed: which extra brings it, and is that what pyproject.toml says?"""

import json
import re
import subprocess
import sys
import tomllib
from importlib.metadata import packages_distributions

import pytest

from snath.shop.extras import EXTRAS
from tests.house.sources import ROOT

PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
OPTIONAL = PROJECT["optional-dependencies"]
NO_IMPORT = {"tzdata", "snath"}  # data that another library looks for; our own extras
SHEET = "examples/belt_28_inch.toml"

# An interpreter in which the libraries of every extra cannot be found, as in an environment with the bare wheel.
BARE = """
import sys
from importlib.machinery import PathFinder
from click.testing import CliRunner
from snath.shop.extras import EXTRAS

class Without(PathFinder):
    @classmethod
    def find_spec(cls, name, path=None, target=None):
        return None if name.partition(".")[0] in EXTRAS else super().find_spec(name, path, target)

sys.meta_path = [Without if finder is PathFinder else finder for finder in sys.meta_path]
import json
from snath.shop.cli.main import main
for line in sys.stdin:
    done = CliRunner().invoke(main, json.loads(line))
    print(json.dumps([done.exit_code, done.stdout, done.stderr]))
"""


def distributions(required: list[str]) -> set[str]:
    """Names of what is required, as the registries compare them."""
    names = {re.match(r"[\w-]+", one).group().lower().replace("_", "-") for one in required}
    return names - NO_IMPORT


def brought_by() -> dict[str, str]:
    """Each distribution of an extra that the program imports, and that extra."""
    return {
        name: extra
        for extra in ("recordings", "paper", "tables", "shop", "batch", "postgres")
        for name in distributions(OPTIONAL[extra])
    }


def test_each_extra_brings_what_is_said_of_it():
    named = packages_distributions()
    found = {named[module][0].lower().replace("_", "-"): extra for module, extra in EXTRAS.items()}
    assert found == brought_by()


@pytest.fixture(scope="module")
def bare():
    """Answers of commands where no extra is installed: exit code, standard output, standard error."""
    folder = "tests/shop"
    asked = {
        "limit": ["limit", "--blade", "22 in"],
        "judge": ["judge", SHEET, "--reading", "3,190 rpm", "--u", "5 rpm"],
        "drive": ["drive", SHEET, "--stock", "examples/stock"],
        "job": ["job", "examples/jobs/walk_behind_left_at_3600.toml"],
        "printed job": ["job", "examples/jobs/walk_behind_left_at_3600.toml", "--pdf", "none.pdf"],
        "read": ["read", "tests/conftest.py", "--as", "sound"],
        "batch": ["batch", folder, "--out", "none.parquet"],
        "chart": ["chart", "--from", "16 in", "--to", "30 in", "--pdf", "none.pdf"],
        "serve": ["serve", "--help"],
        "german": ["backup", "none", "--language", "de", "--json"],
    }
    said = subprocess.run(
        [sys.executable, "-c", BARE],
        input="\n".join(json.dumps(words) for words in asked.values()),
        capture_output=True,
        text=True,
        check=True,
        cwd=ROOT,
    )
    return dict(zip(asked, map(json.loads, said.stdout.splitlines()), strict=True))


@pytest.mark.parametrize(
    ("command", "expected"), [("limit", 0), ("judge", 3), ("drive", 0), ("job", 0)]
)  # one reading at the ceiling
def test_what_needs_no_extra_answers_without_one(bare, command, expected):
    code, out, err = bare[command]
    assert (code, err) == (expected, "")
    assert "rpm" in out


@pytest.mark.parametrize(
    ("command", "extra"),
    [
        ("read", "recordings"),
        ("batch", "batch"),
        ("chart", "paper"),
        ("printed job", "paper"),
        ("serve", "shop"),
    ],
)
def test_a_command_without_its_extra_says_what_to_type(bare, command, extra):
    code, out, err = bare[command]
    assert (code, out) == (2, "")
    assert f'python -m pip install "snath[{extra}]"' in err
    assert len(err.splitlines()) == 1


def test_a_missing_extra_is_told_as_json_where_that_was_asked_for(bare):
    code, out, _ = bare["german"]
    (fault,) = json.loads(out)["errors"]
    assert (code, fault["field"], fault["code"]) == (2, "shop", "fault.needs-extra")
    assert fault["values"]["extra"] == "shop"
