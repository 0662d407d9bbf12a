"""No word in a job file or a sheet ends in a fault of the program: it is taken, or refused at its place."""

import random
import re
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from snath.shop.cli.codes import DONE, FAILED, OUR_FAULT, UNDECIDED, WRONG_INPUT
from snath.shop.cli.main import main

JOBS = Path("examples/jobs")
FILES = ("surging_mower.toml", "walk_behind_left_at_3600.toml", "sheets/walk_behind_21.toml")
VALUES = (
    *('""', '"x"', '"two"', '" "', '"20 April 2026"', '"2026-99-99"', "2026-04-18", "2026-04-18T10:00:00", "07:30"),
    *('"{0} {x} {4}"', '"%s %(x)s"', '"\\u0000"', '"\\\\"', f'"{"9" * 400}"', '"3,100 rpm ± 3,200 rpm"'),
    *('"4 in ± 5 in"', '"NaN rpm"', '"-1 in"', '"0 rpm"', '"1e9 rpm"', "-1", "0", "1", "1e308", "-0.0", "nan", "inf"),
    *("true", "[]", "{}", "[[]]", '["3,100 rpm"]', "[[1], [2]]", "{ a = 1 }", f"{10**30}"),
)  # fmt: skip
ARMS = 'arms        = ["10 1/2 in ± 1/32 in", "10 15/32 in ± 1/32 in"]'
TOO_WIDE = 'measured = "corner to corner"\nlength = "4 in ± 5 in"'
KEY = re.compile(r"^([a-z_]+ *= *)(.+)$", re.MULTILINE)


def spoilt(text: str, choose: random.Random) -> str:
    """The text with one value replaced, one key renamed, or one line doubled or lost."""
    hit = choose.choice(list(KEY.finditer(text)))
    line = hit[0]
    how = choose.random()
    if how < 0.8:
        line = hit[1] + choose.choice(VALUES)
    elif how < 0.9:
        line = "x" + line
    elif how < 0.95:
        line = f"{line}\n{line}"
    else:
        line = ""
    return text[: hit.start()] + line + text[hit.end() :]


@pytest.fixture
def folder(tmp_path):
    shutil.copytree(JOBS, tmp_path / "jobs")
    return tmp_path / "jobs"


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("name", FILES)
def test_any_word_is_taken_or_refused_where_it_stands(folder, name, seed):
    choose = random.Random(f"{name} {seed}")
    text = (folder / name).read_text("utf-8")
    asked = folder / ("walk_behind_left_at_3600.toml" if "sheets" in name else name)
    for _ in range(12):
        changed = spoilt(text, choose)
        (folder / name).write_text(changed, "utf-8")
        done = CliRunner().invoke(main, ["job", str(asked)])
        assert done.exception is None or isinstance(done.exception, SystemExit), changed
        assert done.exit_code in (DONE, FAILED, WRONG_INPUT, UNDECIDED), (changed, done.output)
        if done.exit_code == WRONG_INPUT:
            assert re.search(r"[a-z_.\[\]0-9]+ = .*: ", done.output), (changed, done.output)


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('judged_on = "2026-04-18"', 'judged_on = "20 April 2026"', "judged_on = 20 April 2026: must be a day as"),
        ('judged_on = "2026-04-18"', 'judged_on = "2026-99-99"', "must be a day as year-month-day"),
        ('judged_on = "2026-04-18"', 'judged_on = ""', "must be a day as year-month-day"),
        ('"2027-01-12"', '"2027-02-29"', "instrument[1].due_on = 2027-02-29: must be a day as"),
        ('kind       = "optical"', 'kind = "optical"\nper_turn = "two"', "per_turn = two: must be a number"),
        ('kind       = "optical"', 'kind = "optical"\nper_turn = 0', "per_turn = 0: must be over 0"),
        ('id         = "T1"', 'id = "T1"\nname = "b"\n[[instrument]]\nid = "T1"', "instrument = T1: must be the id"),
    ],
)  # fmt: skip
def test_what_is_no_day_number_or_id_is_refused_at_its_place(folder, old, new, says):
    path = folder / "walk_behind_left_at_3600.toml"
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), "utf-8")
    done = CliRunner().invoke(main, ["job", str(path)])
    assert done.exit_code == WRONG_INPUT
    assert says in done.output


def test_a_size_with_a_doubt_as_large_as_itself_is_refused(folder):
    sheet = folder / "sheets/walk_behind_21.toml"
    sheet.write_text(sheet.read_text("utf-8").replace(ARMS, TOO_WIDE), "utf-8")
    done = CliRunner().invoke(main, ["job", str(folder / "walk_behind_left_at_3600.toml")])
    assert done.exit_code == WRONG_INPUT
    assert "4 in ± 5 in: its ± must be smaller than the figure itself" in done.output


def test_what_nobody_foresaw_is_a_fault_of_the_program_and_no_fail(monkeypatch):
    monkeypatch.setattr("snath.shop.cli.job.work", lambda job: 1 // 0)
    done = CliRunner().invoke(main, ["job", str(JOBS / "walk_behind_left_at_3600.toml")])
    assert done.exit_code == OUR_FAULT
    assert "This is a fault of the program" in done.output
    assert "ZeroDivisionError" in done.output
