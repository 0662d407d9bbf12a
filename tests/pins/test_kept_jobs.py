"""Jobs kept by earlier versions must still open, and come out the same unless the change list says otherwise.

The files beside this are the program's own numbers, kept at schema snath-job-1. When one moves on purpose, write it
into CHANGELOG.md under "Numbers that moved" and keep the job again; when the schema moves, keep the old files too.
"""

import json
from pathlib import Path

import pytest

from snath.decisions.job.rework import rework
from snath.rules.load import shipped_rules
from snath.shop.cli.kept import read_kept

KEPT = sorted(Path(__file__).parent.glob("*.job-1.json"))


@pytest.mark.parametrize("path", KEPT, ids=lambda path: path.stem)
def test_a_job_kept_by_an_earlier_version_opens_and_comes_out_the_same(path):
    job, then = read_kept(path.read_text("utf-8"))
    found = rework(job, then, shipped_rules())
    assert found.by_program == ()


def test_there_are_kept_jobs_of_every_kind_of_verdict():
    words = {
        (stage.get("stands") or {}).get("word")
        for path in KEPT
        for stage in (json.loads(path.read_text("utf-8"))["result"][name] for name in ("as_found", "as_left"))
    }
    assert {"pass", "fail", "undecided"} <= words
