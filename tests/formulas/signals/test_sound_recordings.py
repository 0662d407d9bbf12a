"""Recordings nobody here made the estimator for: within their stated track, or undecided."""

import csv
import os
from pathlib import Path

import numpy as np
import pytest

from snath.formulas.signals.candidates import Orders
from snath.formulas.signals.sound import speed_from_sound

FOLDER = Path(os.environ.get("SNATH_RECORDINGS", Path(__file__).parents[4] / "shared" / "recordings"))
WHERE = f"no recordings in {FOLDER}: set SNATH_RECORDINGS"
FIRINGS = {1: (0.0,), 4: (0.0, 0.25, 0.5, 0.75)}


def rows():
    """Sound recordings whose sheet follows from their row; firing of its twins is not in it."""
    if not (FOLDER / "truth.csv").exists():
        return [pytest.param(None, marks=pytest.mark.skip(reason=WHERE))]
    with (FOLDER / "truth.csv").open() as file:
        found = [row for row in csv.DictReader(file) if row["kind"] == "sound"]
    return [pytest.param(row, id=row["file"]) for row in found]


@pytest.mark.parametrize("row", rows())
def test_a_recording_is_within_its_stated_track_or_undecided(row):
    # Published: truth.csv beside the recordings, each with its origin; the mean of its track until
    # the release, as the speed of several of them changes on purpose.
    soundfile = pytest.importorskip("soundfile")
    sound, rate = soundfile.read(FOLDER / row["file"], dtype="float32")
    firings = FIRINGS.get(int(row["cylinders"]))
    orders = Orders(875 / 60, 5400 / 60, 2 if firings else None, firings)
    result = speed_from_sound(sound, rate, orders)
    if not result.decided:
        assert result.candidates == () or result.candidates[0].weight <= 1
        return
    track = np.loadtxt(FOLDER / row["track"], delimiter=",", skiprows=1)
    release = min((event.t_s for event in result.track.events), default=np.inf)
    t = np.array([at for at in result.track.t_s if at < release])
    truth = np.interp(t, track[:, 0], track[:, 1]) / 60
    # 1 % is what counts as wrong; a fifth of a second of the ends may lie outside the stated track.
    assert result.steady.value == pytest.approx(truth.mean(), rel=0.01)


def test_a_recorded_twin_said_to_fire_evenly_is_not_decided_at_half_its_speed():
    # Published: truth.csv beside the recordings: 2,950 rpm; all half orders are loud in it.
    soundfile = pytest.importorskip("soundfile")
    if not (FOLDER / "wg_08_2cyl_c.flac").exists():
        pytest.skip(WHERE)
    sound, rate = soundfile.read(FOLDER / "wg_08_2cyl_c.flac", dtype="float32")
    result = speed_from_sound(sound, rate, Orders(875 / 60, 5400 / 60, 2, (0.0, 0.5)))
    assert not result.decided or result.steady.value == pytest.approx(2950 / 60, rel=0.01)
    assert any(one.rev_s == pytest.approx(2950 / 60, rel=0.01) for one in result.candidates)
