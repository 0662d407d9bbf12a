"""Whole jobs by command line: a pulse log and sound clips, each ending in a PDF.

The same jobs on recordings of others are `python -m benchmarks recordings FOLDER`.
"""

import numpy as np
import pytest

from benchmarks.simulator.engine import Scene, record
from benchmarks.simulator.files import sound_file
from tests.jobs_by_command import LOOKED_AT, PUMP_SET, SINGLE, answered, worked

PUMP_RPM, CLIP_RPM = 1420.0, 3090.0


@pytest.fixture
def pulse_log(tmp_path):
    """One edge a turn of an engine at 1,420 rpm for 20 s, each turn off by 0.3 % at random, around no other mean."""
    turns = np.random.default_rng(5).normal(1.0, 0.003, 470)
    edges = np.concatenate([[0.0], np.cumsum(turns / turns.mean() * 60 / PUMP_RPM)])
    (tmp_path / "log.csv").write_text("t_s\n" + "".join(f"{t:.9f}\n" for t in edges))
    return tmp_path


@pytest.fixture(scope="module")
def clip(tmp_path_factory):
    """A simulated single at 3,090 rpm, held."""
    scene = Scene(rev_s=CLIP_RPM / 60, seconds=6.0, profile="steady", snr_db=20.0)
    take = record(scene, np.random.default_rng(11))
    path = tmp_path_factory.mktemp("heard") / "clip.wav"
    path.write_bytes(sound_file(take.samples, take.rate, "wav"))
    return path


@pytest.mark.parametrize(("limit", "code", "word"), [("1,450 rpm", 0, "pass"), ("1,400 rpm", 1, "fail")])
def test_a_pulse_log_proves_its_pump_under_or_over(pulse_log, limit, code, word):
    done, found = worked(pulse_log, PUMP_SET.format(limit=limit), "log.csv", 'per_turn = "1"\n' + LOOKED_AT)
    assert (done, found["as_found"]["stands"]["verdict"]) == (code, word)


def test_the_same_log_passes_nothing_while_nobody_looked_at_the_machine(pulse_log):
    done, found = worked(pulse_log, PUMP_SET.format(limit="1,450 rpm"), "log.csv", 'per_turn = "1"\n')
    stands = found["as_found"]["stands"]
    assert (done, stands["verdict"], stands["limits"]) == (3, "undecided", "under")
    assert "checks.not-checked" in [reason["code"] for reason in stands["reasons"]]


def test_the_same_log_is_read_within_its_own_doubt(pulse_log):
    _, found = answered("read", str(pulse_log / "log.csv"), "--per-turn", "1")
    assert abs(found["rpm"] - PUMP_RPM) <= 2 * found["u_rpm"]


def test_a_sound_clip_is_an_indication_until_a_tachometer_stood_beside_one(clip, tmp_path):
    # By hand: a 16 in blade may turn 19,000/(pi 16/12) = 4,535.9 rpm, so the clip lies under it.
    code, found = worked(tmp_path, SINGLE.format(blade="16 in"), str(clip), LOOKED_AT)
    stands = found["as_found"]["stands"]
    assert (code, stands["verdict"]) == (3, "undecided")
    assert stands["p_over"][1] < 0.05
    assert stands["reasons"][0]["code"] == "verdict.indication"
    _, read = answered("read", str(clip), "--sheet", str(tmp_path / "sheet.toml"))
    assert read["decided"]
    assert read["rpm"] == pytest.approx(CLIP_RPM, rel=0.002)


def test_a_clip_far_over_the_limit_fails_even_as_an_indication(clip, tmp_path):
    # By hand: a 26 in blade may turn 2,791.3 rpm; the clip runs at 3,090.
    code, found = worked(tmp_path, SINGLE.format(blade="26 in"), str(clip), LOOKED_AT)
    assert (code, found["as_found"]["stands"]["verdict"]) == (1, "fail")
