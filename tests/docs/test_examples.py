"""Does every command and example in README and manual do what the page says?"""

import re
import shlex
import tomllib
from fnmatch import fnmatchcase
from importlib import import_module

import pytest
from click.testing import CliRunner

from snath.shop.cli.main import COMMANDS, main
from tests.docs.pages import PAGES, Example, commands, examples, fenced, files
from tests.house.sources import ROOT


@pytest.fixture
def clone(tmp_path, monkeypatch):
    """An empty folder with the examples in it, as somebody who follows a page has it."""
    (tmp_path / "examples").symlink_to(ROOT / "examples")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def told(shown: tuple[str, ...], answered: list[str]) -> bool:
    """Whether an answer begins with what is shown; a line … stands for any lines, one within a line for any words."""
    if not shown:
        return True
    first, *rest = shown
    if first == "…":
        return any(told(tuple(rest), answered[at:]) for at in range(len(answered) + 1))
    pattern = re.sub(r"([\[\]*?])", r"[\1]", first).replace("…", "*")
    return bool(answered) and fnmatchcase(answered[0], pattern) and told(tuple(rest), answered[1:])


@pytest.mark.parametrize("example", examples(), ids=str)
def test_a_shown_command_answers_as_shown(clone, example: Example):
    program, *words = shlex.split(example.command)
    assert program == "snath"
    done = CliRunner().invoke(main, words)
    assert done.exit_code in (0, 1, 2, 3), done.output
    assert (done.exit_code == 2) == done.stdout.startswith(('{"errors"',)) or (done.exit_code == 2) == bool(
        done.stderr
    )
    answered = (done.stdout + done.stderr).splitlines()
    assert answered
    assert told(example.shown, answered), done.stdout + done.stderr


@pytest.mark.parametrize(("where", "line"), commands())
def test_a_command_that_needs_a_shop_s_own_files_is_read_as_it_stands(clone, where, line):
    # It is not run: its options and arguments must be those the command takes.
    _, word, *words = shlex.split(line)
    for own in words:
        if "." in own and not own.endswith("/"):
            (clone / own.replace("/", "_")).touch()
    module, name = COMMANDS[word][0].split(":")
    command = getattr(import_module(module), name)
    with command.make_context(word, words):
        pass


def test_enough_of_the_manual_is_tried():
    assert len(examples()) >= 15
    assert {page for page, _ in commands()} >= {"docs/light.md", "docs/pulses.md", "docs/recordings.md"}


@pytest.mark.parametrize(("where", "text"), fenced("toml"))
def test_a_shown_sheet_is_toml(where, text):
    assert tomllib.loads(text)


@pytest.mark.parametrize(("where", "text"), [one for one in fenced("python") if "import snath\n" in one[1]])
def test_a_shown_program_runs(clone, where, text):
    exec(compile(text, where, "exec"), {})  # our own page


def test_no_link_and_no_picture_leads_nowhere():
    missing = [(p.name, target) for p in PAGES for target in files(p) if not (p.parent / target).exists()]
    assert missing == []


def test_readme_is_short_and_its_make_targets_are_there():
    readme = (ROOT / "README.md").read_text("utf-8")
    makefile = (ROOT / "Makefile").read_text("utf-8")
    assert len(readme.splitlines()) < 90
    named = set(re.findall(r"make (\w+)", readme))
    assert {"run", "test", "docs", "matrix"} <= named
    assert [target for target in named if not re.search(rf"^{target}:", makefile, re.MULTILINE)] == []


def test_the_guard_bites():
    assert told(("a…c", "…", "f"), ["abc", "d", "e", "f", "g"])
    assert not told(("a…c", "f"), ["abc", "d", "f"])
    assert not told(("[ab]",), ["a"])
