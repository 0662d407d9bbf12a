"""A list never shows the word of an older program as it is, and names the check that blocks."""

from dataclasses import replace

import pytest
from django.test import Client

from snath.decisions.behaviour.asked import ChecklistInput, Mark
from snath.decisions.job.job import Stage
from snath.decisions.job.schema import job_to_json, result_to_json
from snath.decisions.job.work import work
from snath.shop.bench.jobs import kept as kept_jobs
from snath.shop.records.job_list import csv_of_jobs
from snath.shop.records.models import JobRecord, JobVersion
from tests.shop.test_one_word import example, kept
from tests.shop.test_settings_told import MOWER

pytestmark = pytest.mark.django_db


def listed(number: int) -> str:
    page = Client(headers={"host": "localhost"}).get("/jobs/").content.decode()
    return page.split(f'href="/jobs/{number}/"')[1].split("</li>")[0]


def kept_by_an_older_program(job) -> int:
    """A row that says pass, as a program without checks kept it; today nobody has checked the machine."""
    number = kept(job, work(job))
    JobRecord.objects.filter(number=number).update(worked_by="", verdict="pass", waits_for="signature")
    return number


def test_a_stale_pass_is_worked_again_before_it_is_shown(db):
    unchecked = replace(example(MOWER), behaviour=replace(example(MOWER).behaviour, checklist=None))
    number = kept_by_an_older_program(unchecked)
    before = JobVersion.objects.get(job__number=number)
    row = listed(number)
    assert "chip undecided" in row
    assert "chip pass" not in row
    record = JobRecord.objects.get(number=number)
    assert (record.verdict, record.waits_for, record.stale) == ("undecided", "check", False)
    after = JobVersion.objects.get(job__number=number)
    assert (after.job_json, after.result_json, after.hash) == (
        before.job_json,
        before.result_json,
        before.hash,
    )


def test_what_is_not_yet_worked_again_says_so_and_shows_no_word(db, monkeypatch):
    number = kept_by_an_older_program(example(MOWER))
    monkeypatch.setattr(kept_jobs, "AT_ONCE", 0)
    row = listed(number)
    assert "data-stale" in row
    assert "chip pass" not in row
    (line,) = [line for line in csv_of_jobs() if line.startswith(f"{number},")]
    assert ",pass," not in line


def test_a_done_job_stays_done_when_it_is_worked_again(db):
    number = kept_by_an_older_program(example(MOWER))
    JobRecord.objects.filter(number=number).update(waits_for="")
    listed(number)
    assert JobRecord.objects.get(number=number).waits_for == ""


def test_a_blocked_row_names_its_check(db):
    job = example(MOWER)
    marks = ChecklistInput(marks=(Mark("kill", "fault", "does not stop"),), in_order=("as found",))
    job = replace(job, behaviour=replace(job.behaviour, checklist=marks), as_left=Stage())
    number = kept(job, work(job))
    row = listed(number)
    assert "chip blocked" in row
    assert "Engine stop: does not stop" in row


def test_a_row_that_cannot_be_read_does_not_hide_the_others(db):
    number = kept_by_an_older_program(example(MOWER))
    job = example(MOWER)
    other = kept(job, work(job))
    JobRecord.objects.filter(number=number).update(verdict="blocked")
    broken = job_to_json(job).replace('"judged_on"', '"judged_at"', 1)
    record = JobRecord.objects.get(number=number)
    JobRecord.objects.filter(number=number).update(version=2)
    JobVersion(
        sequence=99,
        job=record,
        version=2,
        job_json=broken,
        result_json=result_to_json(work(job)),
        program="old",
        who="a",
        at=record.changed_at,
        hash="x",
    ).save()
    assert "data-stale" in listed(number)
    assert "chip pass" in listed(other)
