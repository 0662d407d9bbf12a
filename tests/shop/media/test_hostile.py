"""A fixed share of the 2,000 damaged and hostile files that the benchmark goes through."""

import pytest

from benchmarks.hostile import MOST_S, run

SHARE = 120


@pytest.mark.slow
def test_damaged_and_hostile_files_end_in_time_with_a_reason_and_open_nothing_else():
    results, touched = run(SHARE)
    assert len(results) == SHARE
    assert [r for r in results if r.what.startswith("crash")] == []
    assert [r for r in results if not r.why] == []
    assert [r for r in results if r.seconds > MOST_S] == []
    assert not touched
    refused = [r for r in results if r.how.startswith(("playlist", "three hours", "zero length", "1 Hz"))]
    assert {r.what for r in refused if r.how != "three hours by its word"} == {"refused"}
