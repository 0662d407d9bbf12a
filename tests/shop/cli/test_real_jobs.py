"""Whole jobs on real input by command line: a running engine's pulse log, and sound clips, each ending in a PDF."""

import json
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

from snath.shop.cli.main import main
from tests.recordings import recording

PUMP_SET = """
name = "four-cylinder pump set"
kind = "other"
[engine]
strokes = 4
cylinders = 4
firing = "even"
rated_max = "1,800 rpm"
idle = "900 rpm"
[[member]]
name = "pump"
[member.pump]
speed_max = "{limit}"
source = "plate of an invented pump"
"""
SINGLE = """
name = "single-cylinder walk-behind"
kind = "walk-behind rotary mower"
[engine]
strokes = 4
cylinders = 1
ignition = "wasted spark"
rated_max = "4,200 rpm"
idle = "1,750 rpm"
[[member]]
name = "blade"
[member.blade]
length = "{blade}"
measured = "corner to corner"
"""

LOOKED_AT = '[checklist]\nin_order = ["as found", "as left"]\n'


def worked(folder: Path, sheet: str, recorded: str, more: str = "") -> tuple[int, dict]:
    (folder / "sheet.toml").write_text(sheet)
    (folder / "job.toml").write_text(
        f'judged_on = "2026-01-01"\nsheet = "sheet.toml"\n[[as_found]]\nrecording = "{recorded}"\n{more}'
    )
    pdf = folder / "sheet.pdf"
    done = CliRunner().invoke(
        main, ["job", str(folder / "job.toml"), "--pdf", str(pdf), "--json"], catch_exceptions=False
    )
    assert pdf.read_bytes().startswith(b"%PDF")
    return done.exit_code, json.loads(done.output)


@pytest.fixture
def pulse_log(tmp_path):
    """Published: a logic analyser's log of a running four-cylinder engine, one edge a turn; 1,419.362 rpm by counting
    turns from the same tooth. From the tests of an open engine controller."""
    edges = np.load(recording("pulse_crank_index_1rev.npz"))["t"]
    (tmp_path / "log.csv").write_text("t_s\n" + "\n".join(f"{t:.9f}" for t in edges))
    return tmp_path


@pytest.mark.parametrize(("limit", "code", "word"), [("1,450 rpm", 0, "pass"), ("1,400 rpm", 1, "fail")])
def test_a_pulse_log_of_a_running_engine_proves_its_pump_under_or_over(pulse_log, limit, code, word):
    done, found = worked(pulse_log, PUMP_SET.format(limit=limit), "log.csv", 'per_turn = "1"\n' + LOOKED_AT)
    assert (done, found["as_found"]["stands"]["verdict"]) == (code, word)


def test_the_same_log_passes_nothing_while_nobody_looked_at_the_machine(pulse_log):
    done, found = worked(pulse_log, PUMP_SET.format(limit="1,450 rpm"), "log.csv", 'per_turn = "1"\n')
    stands = found["as_found"]["stands"]
    assert (done, stands["verdict"], stands["limits"]) == (3, "undecided", "under")
    assert "checks.not-checked" in [reason["code"] for reason in stands["reasons"]]


def test_the_same_log_is_read_within_its_own_doubt(pulse_log):
    done = CliRunner().invoke(main, ["read", str(pulse_log / "log.csv"), "--per-turn", "1", "--json"])
    found = json.loads(done.output)
    assert abs(found["rpm"] - 1419.362) <= 2 * found["u_rpm"]


@pytest.mark.parametrize(
    ("name", "truth", "within"),
    [
        ("wg_02_1cyl_c.flac", 3087.0, 0.002),  # an independent engine-sound generator, set speed
        ("syn_7_001_drift.flac", 3302.10, 0.002),  # a simulated mower, exact crank angle
    ],
)
def test_a_sound_clip_is_an_indication_until_a_tachometer_stood_beside_one(tmp_path, name, truth, within):
    clip = recording(name)
    (tmp_path / name).write_bytes(clip.read_bytes())
    # By hand: a 16 in blade may turn 19,000/(pi 16/12) = 4,535.9 rpm, so both clips lie under it.
    code, found = worked(tmp_path, SINGLE.format(blade="16 in"), name, LOOKED_AT)
    stands = found["as_found"]["stands"]
    assert (code, stands["verdict"]) == (3, "undecided")
    assert stands["p_over"][1] < 0.05
    assert stands["reasons"][0]["code"] == "verdict.indication"
    done = CliRunner().invoke(main, ["read", str(clip), "--sheet", str(tmp_path / "sheet.toml"), "--json"])
    read = json.loads(done.output)
    assert read["decided"]
    assert read["rpm"] == pytest.approx(truth, rel=within)


def test_a_clip_far_over_the_limit_fails_even_as_an_indication(tmp_path):
    clip = recording("wg_02_1cyl_c.flac")
    (tmp_path / clip.name).write_bytes(clip.read_bytes())
    # By hand: a 26 in blade may turn 2,791.3 rpm; the clip runs at 3,087.
    code, found = worked(tmp_path, SINGLE.format(blade="26 in"), clip.name)
    assert (code, found["as_found"]["stands"]["verdict"]) == (1, "fail")
