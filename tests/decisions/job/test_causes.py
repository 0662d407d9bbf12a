"""Causes of doubt that earlier versions kept as text are known by code, and no word of the tables moves a kept job."""

from pathlib import Path

import pytest

from snath.decisions.job import causes
from snath.decisions.job.job import Job, Stage
from snath.decisions.job.rework import rework
from snath.decisions.job.schema import job_from_json, job_to_json, result_to_json
from snath.decisions.job.work import work
from snath.decisions.reading.budget import is_of
from snath.decisions.reading.reading import Reading
from snath.quantities.measured import Line, Measured
from snath.quantities.message import Message, term
from snath.rules.load import shipped_rules
from snath.shop.cli.kept import read_kept
from snath.words import tables

PINS = Path(__file__).parents[2] / "pins"
IN_AIR = term("condition", "blades in air")


def kept(name: str) -> tuple[Job, str]:
    return read_kept((PINS / f"{name}.job-1.json").read_text("utf-8"))


def test_readings_kept_as_text_have_their_causes_by_code():
    # By hand, from the file: three readings of one instrument, by its plate and its last digit.
    job, _ = kept("walk_behind")
    (reading,) = job.as_found.readings
    assert [line.source for line in reading.value.lines] == [
        Message(
            "budget.scatter",
            count=3,
            shaft="crankshaft",
            condition=IN_AIR,
            at="2026-04-18T09:20:00+02:00",
        ),
        Message("budget.accuracy", instrument="T1"),
        Message("budget.resolution", instrument="T1"),
    ]


@pytest.mark.parametrize(
    ("spelt", "code"),
    [
        ("stated by the reader, left, outer spindle, blades off, ", "budget.stated"),
        ("scatter of 4 runs, crankshaft, peak, 2026-04-18T09:20:00+02:00", "budget.runs"),
        ("Tach: old: check against a reference", "budget.check"),
        ("T1: accuracy, times 3.2", "budget.flash-accuracy"),
        ("phone clock", "budget.clock"),
        ("the tape", None),
    ],
)
def test_each_spelling_of_earlier_versions_is_known_and_no_other_taken_for_one(spelt, code):
    reading = Reading(value=Measured(50.0, (Line(spelt, 0.1),)), decided=True)
    job, _ = kept("walk_behind")
    (found,) = causes.with_causes(_with(job, reading)).as_found.readings
    (line,) = found.value.lines
    assert getattr(line.source, "code", None) == code
    assert line.u == 0.1


def _with(job: Job, reading: Reading) -> Job:
    return Job(job.machine, job.rules, as_found=Stage((reading,)))


def test_a_cause_of_an_instrument_is_told_by_its_id():
    assert is_of(Line(Message("budget.accuracy", instrument="T1"), 0.1), "T1")
    assert not is_of(Line(Message("budget.accuracy", instrument="T1"), 0.1), "T")


def test_a_job_reads_back_with_every_message_it_holds():
    why = Message("reading.held-at", begin=0.5, end=4.0, speed=3000)
    reading = Reading(why=why, next_steps=(Message("reading.count-pulses"),))
    job = _with(kept("walk_behind")[0], reading)
    assert job_from_json(job_to_json(job)).as_found == job.as_found


@pytest.mark.parametrize("name", ["walk_behind", "alternator_62_hz", "three_spindles_one_odd_sheave"])
def test_a_reworded_note_moves_no_kept_job(name, monkeypatch):
    job, _ = kept(name)
    then = result_to_json(work(job))
    worded = tables.entry("verdict.read-no-load", "en")

    def other(language: str, table: str) -> dict[str, str]:
        return {f"{table}.{key}": "other words" for key in ("read-no-load", "shut", "blocks")}

    monkeypatch.setattr(tables, "table", other)
    assert tables.entry("verdict.read-no-load", "en") != worded
    assert rework(job, then, shipped_rules()).unchanged
