"""The fixed small share of benchmarks/kills.py."""

import pytest

from tests.shop.records.commands import benchmark


@pytest.mark.slow
@pytest.mark.parametrize(("kind", "times"), [("sqlite", 8), ("postgresql", 4)])
def test_no_acknowledged_save_is_lost_or_half_written_when_the_program_is_killed(kind, times):
    tally = benchmark("kills", "--kind", kind, "--times", times)
    assert tally["kills"] == times
    assert tally["acknowledged"] >= times
    assert (tally["lost"], tally["half_written"], tally["broken_chain"]) == (0, 0, 0)
