"""The fixed small share of benchmarks/damages.py, chosen for what each of them once brought to light."""

import pytest

from tests.shop.records.commands import benchmark


@pytest.mark.slow
@pytest.mark.parametrize(
    ("seed", "first"),
    [
        (11, 6),  # a page in another's place: columns that give back what they cannot hold
        (3, 16),  # a byte in the name of a table: what SQLite then says is no text
    ],
)
def test_nothing_readable_is_left_behind_and_nothing_ends_in_a_traceback(seed, first):
    told = benchmark("damages", "--seed", seed, "--first", first, "--times", 1)
    assert (told["faults"], told["missing"]) == ([], [])
    assert told["readable"] > 0  # by SQLite itself, asked row by row
    assert 0 < told["versions_taken_out"] <= told["versions_saved"]
