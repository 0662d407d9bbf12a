"""Whole jobs worked by hand beside the tool's: every file of tests/cases through `work`."""

import tomllib
from dataclasses import replace
from pathlib import Path

import pytest

from snath.decisions.job.assemble import job_for
from snath.decisions.job.job import Job, Stage
from snath.decisions.job.result import Result
from snath.decisions.job.schema import differences, job_from_json, job_to_json, result_to_json
from snath.decisions.job.work import work
from snath.decisions.machine.parts import CRANKSHAFT
from snath.decisions.machine.sheet import read_sheet
from snath.decisions.reading.reading import Reading
from snath.rules.load import shipped_rules
from snath.words.render import ENGLISH, say
from tests.machines import CHECKED, RPM, rpm

CASES = sorted((Path(__file__).parent.parent / "cases").glob("*.toml"))


def loaded(path: Path) -> tuple[dict, Job]:
    case = tomllib.loads(path.read_text("utf-8"))
    job = job_for(read_sheet(case["sheet"]["text"]), shipped_rules(), only=case.get("rule"))
    readings = tuple(
        Reading(
            shaft=row.get("at", CRANKSHAFT),
            condition=row.get("condition", "blades in air"),
            value=rpm(row["rpm"], row["u"]),
            decided=True,
        )
        for row in case.get("reading", [])
    )
    return case, replace(job, as_found=Stage(readings), judged_on="2026-06-01", behaviour=CHECKED)


def near(value: float | None, expected: list[float], scale: float = 1.0) -> bool:
    return value is not None and abs(value / scale - expected[0]) <= expected[1]


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_the_job_comes_out_as_worked_by_hand(path):
    case, job = loaded(path)
    result = work(job)
    window, expect = result.window, case["expect"]
    assert window.feasible == expect["feasible"]
    assert near(window.ceiling, expect["ceiling_rpm"], RPM), window.ceiling / RPM
    for name, value in (("floor_rpm", window.floor), ("fail_above_rpm", window.fail_above)):
        assert name not in expect or near(value, expect[name], RPM), name
    bound = next(b for b in window.bounds if b.worst and b.member == window.binding)
    found = {
        "binding": window.binding,
        "binding_rule": window.binding_rule,
        "setting": window.setting,
        "alternative": say(bound.alternative, ENGLISH),
        "remedies": [f"{r.kind} {r.shaft}" for r in window.remedies],
    }
    for name in found.keys() & expect.keys():
        assert found[name] == expect[name], name
    check_readings(case, result)


def check_readings(case: dict, result: Result) -> None:
    for row, verdict in zip(case.get("reading", []), result.as_found.verdicts, strict=True):
        assert verdict.word == row["verdict"], row
        assert verdict.limits == row.get("limits", verdict.limits)
        for name, value in zip(("p_least", "p_most"), verdict.p_over or (), strict=False):
            assert name not in row or near(value, row[name]), row


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_a_kept_job_runs_again_to_the_same_bytes(path):
    _, job = loaded(path)
    kept = job_to_json(job)
    again = job_from_json(kept)
    assert again == job
    assert job_to_json(again) == kept
    assert result_to_json(work(again)) == result_to_json(work(job))


def test_there_are_at_least_twelve_worked_jobs_and_each_says_where_its_figures_come_from():
    assert len(CASES) >= 12
    for path in CASES:
        assert "by hand" in tomllib.loads(path.read_text("utf-8"))["source"]


def test_a_changed_result_lists_what_changed_and_the_version_does_not_count():
    _, job = loaded(CASES[0])
    then = result_to_json(work(job))
    slower = replace(
        job, machine=replace(job.machine, engine=replace(job.machine.engine, rated_max=3000 * RPM))
    )
    rows = {path: (old, new) for path, old, new in differences(then, result_to_json(work(slower)))}
    assert "window.ceiling" in rows
    assert differences(then, then.replace('"program":"snath ', '"program":"snath 9.')) == ()
