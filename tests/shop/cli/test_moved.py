"""What a rework tells: each change once, in words and units, never by the name of a field."""

import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from snath.shop.answers.moved import moved
from snath.shop.cli.main import main
from snath.words.render import locale_for, say

PINS = sorted((Path(__file__).parents[2] / "pins").glob("*.job-1.json"))


def said(*rows: tuple[str, object, object], language: str = "en") -> list[str]:
    return [say(one, locale_for(language)) for one in moved(rows)]


def test_a_figure_is_told_once_by_its_name_and_in_turns_a_minute():
    # By hand: 55 turns a second are 3,300 a minute, 54.5 are 3,270.
    rows = [(f"{place}window.ceiling", 55.0, 54.5) for place in ("", "as_found.", "as_left.")]
    assert said(*rows)[0] == "never above: 3,300.0 rpm -> 3,270.0 rpm"
    assert said(rows[1], rows[0]) == ["as found: never above: 3,300.0 rpm -> 3,270.0 rpm"]
    assert said(rows[0], language="de") == ["nie über: 3.300,0 1/min -> 3.270,0 1/min"]


def test_the_same_word_at_two_stages_is_told_at_both():
    rows = [(f"as_{stage}.verdicts[0].word", "pass", "fail") for stage in ("found", "left")]
    assert said(*rows, ("stands.word", "pass", "fail")) == [
        "as found: verdict: pass -> fail",
        "as left: verdict: pass -> fail",
    ]


def test_of_reasons_only_those_that_came_or_went_are_told():
    stays = {"code": "checks.not-checked", "values": {}}
    goes = {
        "code": "verdict.finer-instrument",
        "values": {"half_width": {"value": 1 / 12, "kind": "rotation"}},
    }
    (line,) = said(("as_left.stands.settle", [stays, goes], [stays]))
    assert line.startswith("as left: no longer said: A tachometer good to ± 5 rpm would decide it")


def test_what_follows_from_a_word_is_left_out_and_what_has_no_name_is_told_by_its_place():
    assert said(("as_left.stands.green", True, False), ("stands.by", "speed", "not checked")) == []
    assert said(("behaviour.stop.stops_within", 2.5, None)) == ["behaviour.stop.stops_within: 2.5 -> null"]


@pytest.mark.parametrize("kept", PINS, ids=lambda path: path.stem)
def test_no_kept_job_is_told_by_the_names_of_fields(kept: Path):
    assert not re.search(
        r"as_(found|left)|stands|verdicts|_", CliRunner().invoke(main, ["rework", str(kept)]).output
    )
