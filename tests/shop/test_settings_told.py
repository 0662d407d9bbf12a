"""Readings belong to a setting, a withdrawn one stays: terminal, JSON, page and sheet tell the same history."""

import json
from dataclasses import replace

import pytest
from click.testing import CliRunner
from django.test import Client

from snath.decisions.job.history import histories, speaks_for
from snath.decisions.job.job import Job, Stage
from snath.decisions.job.work import work
from snath.decisions.reading.reading import Withdrawal
from snath.decisions.reading.typed import typed_reading
from snath.shop.bench.jobs.kept import newest
from snath.shop.cli import job as command
from snath.shop.cli.main import main
from snath.shop.files.job_file import JobFile
from snath.shop.files.job_schema import FactsTable
from snath.shop.paper.facts import SheetFacts
from snath.shop.paper.job_sheet import job_sheet
from tests.shop.test_one_word import EXAMPLES, example, kept, text_of

pytestmark = pytest.mark.django_db
MOWER = next(path for path in EXAMPLES if path.stem == "walk_behind_left_at_3600")


def told_job() -> Job:
    """Found at 3,605; turned to 3,250, 3,400 misread and withdrawn, turned to 3,100."""
    job = example(MOWER)
    (instrument,) = job.instruments

    def reading(rpm: float, *, turned: str = "", withdrawn: Withdrawal | None = None):
        taken = typed_reading(
            [rpm / 60], instrument=instrument, at=f"2026-04-18T10:{rpm % 60:02.0f}:00+02:00"
        )
        return replace(taken, turned=turned, withdrawn=withdrawn)

    left = (
        reading(3250, turned="stop screw out"),
        reading(3400, withdrawn=Withdrawal("display misread", "second bench")),
        reading(3100, turned="stop screw out again"),
        reading(3102),
    )
    return replace(job, as_left=Stage(left))


def test_each_reading_belongs_to_a_setting_and_the_last_one_speaks():
    job = told_job()
    told = histories(job, work(job))["as left"]
    # By hand: 3,250 and 3,100 lie 150 rpm apart, their samples scatter by 16 rpm (0.5 %): two settings.
    assert [(one.setting, one.stands) for one in told] == [(1, False), (0, False), (2, True), (2, True)]
    assert speaks_for(job.as_left.readings) is job.as_left.readings[3]
    assert speaks_for(job.as_left.readings[1:2]) is None


def test_a_turn_nobody_can_see_begins_no_setting():
    job = told_job()
    readings = tuple(one for one in job.as_left.readings if one.withdrawn is None)
    same = replace(readings[1], turned="nothing to speak of")
    job = replace(job, as_left=Stage((readings[1], same)))
    assert [one.setting for one in histories(job, work(job))["as left"]] == [1, 1]


def test_terminal_json_page_and_sheet_tell_the_same_history(db, tmp_path, monkeypatch):
    job = told_job()
    monkeypatch.setattr(command, "read_job_file", lambda path: JobFile(job, FactsTable()))
    text = CliRunner().invoke(main, ["job", "any"], catch_exceptions=False).output
    lines = [line for line in text.splitlines() if line.startswith(("Setting ", "Withdrawn"))]
    assert [line[:12] for line in lines] == [
        "Setting 1: 3",
        "Setting 1, e",
        "Withdrawn: 3",
        "Setting 2: 3",
        "Setting 2: 3",
    ]
    assert "3,400 rpm" in lines[2]
    assert "display misread (second bench)" in lines[2]
    struck = CliRunner().invoke(main, ["job", "any"], catch_exceptions=False, color=True).output
    assert "\x1b[9mWithdrawn: 3,400 rpm" in struck

    left = json.loads(CliRunner().invoke(main, ["job", "any", "--json"], catch_exceptions=False).output)[
        "as_left"
    ]
    assert [(row["rpm"], row["setting"], row["stands"]) for row in left["history"]] == [
        (3250, 1, False),
        (3400, None, False),
        (3100, 2, True),
        (3102, 2, True),
    ]
    assert left["history"][1]["withdrawn"]["by"] == "second bench"
    assert (left["turned"], left["withdrawn"]) == (1, 1)

    result = work(job)
    sheet = text_of(job_sheet(job, result, facts=SheetFacts()), tmp_path)
    assert "As left: settings 2, readings 4, withdrawn 1." in sheet
    assert "display misread (second bench)" in sheet
    number = kept(job, result)
    page = Client(headers={"host": "localhost"}).get(f"/jobs/{number}/verdict/").content.decode()
    assert page.count("data-setting=") == 5
    assert 'data-withdrawn="display misread"' in page
    assert "<s>" in page


def test_a_tap_withdraws_a_reading_and_never_deletes_it(db):
    job = told_job()
    number = kept(job, work(job))
    client = Client(headers={"host": "localhost"})
    given = {"stage": "as left", "place": "2", "reason": "misread", "base": "1"}
    assert client.post(f"/jobs/{number}/withdraw/", given).status_code == 302
    readings = newest(number).job.as_left.readings
    assert len(readings) == 4
    assert readings[2].withdrawn.reason == "misread or mistyped"
    assert readings[2].withdrawn.by
    assert readings[1].withdrawn.by == "second bench"
    # From a page that shows an older version nothing is withdrawn: both states are shown.
    assert client.post(f"/jobs/{number}/withdraw/", given | {"place": "0"}).status_code == 409
    again = given | {"base": "2", "other": "the other machine ran", "place": "3"}
    client.post(f"/jobs/{number}/withdraw/", again)
    now = newest(number)
    assert now.job.as_left.readings[3].withdrawn.reason == "the other machine ran"
    assert now.result.as_left.withdrawn == 3
    # All that is left of it is the first setting, which is 150 rpm over what its maker allows.
    assert now.stands.word == "fail"


@pytest.mark.parametrize(
    "wrong",
    [
        {"reason": ""},
        {"reason": "because"},
        {"stage": "as sold"},
        {"place": "-1"},
        {"place": "99"},
        {"place": "x"},
    ],
)
def test_what_names_no_reading_or_no_reason_withdraws_nothing(db, wrong):
    job = told_job()
    number = kept(job, work(job))
    given = {"stage": "as left", "place": "2", "reason": "misread", "base": "1"} | wrong
    assert Client(headers={"host": "localhost"}).post(f"/jobs/{number}/withdraw/", given).status_code == 404
    assert newest(number).version.version == 1


def test_with_every_reading_withdrawn_they_are_still_shown_and_nothing_is_judged(db):
    job = told_job()
    job = replace(job, as_left=Stage(), as_found=Stage((job.as_left.readings[1],)))
    number = kept(job, work(job))
    page = Client(headers={"host": "localhost"}).get(f"/jobs/{number}/", follow=True).content.decode()
    assert 'data-withdrawn="display misread"' in page
    assert "data-word" not in page
    assert "data-reading" not in page


def test_a_reading_is_repeated_as_it_was_taken(db):
    job = told_job()
    job = replace(job, as_left=Stage((replace(job.as_left.readings[0], condition="cutting"),)))
    number = kept(job, work(job))
    client = Client(headers={"host": "localhost"})
    plain = client.get(f"/jobs/{number}/reading/").content.decode()
    page = client.get(f"/jobs/{number}/reading/?stage=as+left&again=0").content.decode()
    for text, chosen in ((plain, False), (page, True)):
        assert (
            'value="cutting" id="id_condition_1" checked' in text
            or "checked" in text.split('value="cutting"')[1].split(">")[0]
        ) is chosen
    assert client.get(f"/jobs/{number}/reading/?stage=as+left&again=7").status_code == 200
