"""A few clips of every family, made here: what the reader must never say of them. Rates are for the benchmark."""

import pytest

from benchmarks.engines.deal import cases
from benchmarks.engines.render import FAMILIES
from benchmarks.judging.heard import Task, heard
from benchmarks.judging.tables import right, wrong

SEED = 4117
FEW = {"mixed": 3, "throttled": 2, "alternating": 2}


@pytest.fixture(scope="session")
def judged():
    """Rows of every family and set, read once."""
    return {
        (family, which): [heard(Task(family, which, one.seed)) for one in cases(which, family, SEED, count)]
        for family in FAMILIES
        for which, count in FEW.items()
    }


@pytest.mark.parametrize("family", FAMILIES)
def test_nothing_crashes_and_nothing_is_decided_wrong(judged, family):
    # Truth: turns of the simulated crankshaft in the stretch answered.
    for which in FEW:
        for row in judged[family, which]:
            assert row["crash"] is None
            assert not wrong(row), (which, row["seed"], row["off"])


@pytest.mark.parametrize("family", FAMILIES)
def test_an_engine_only_throttled_neither_passes_nor_fails_a_stop_test(judged, family):
    # Truth: it fires to the end of the clip.
    assert [row["stop"]["word"] for row in judged[family, "throttled"]] == ["undecided"] * 2


def test_some_of_each_kind_are_answered(judged):
    # Answering nothing would obey all that stands above.
    assert sum(right(row) for rows in judged.values() for row in rows) >= 4
