import ast
from pathlib import Path

import numpy as np
import pytest

import benchmarks.simulator.ride as ride_module
from benchmarks.simulator.edges import PickUp, edges
from benchmarks.simulator.engine import Blade, Scene, band_rms, record
from benchmarks.simulator.film import Camera, Panel, Part, pictures
from benchmarks.simulator.ride import ride


def test_a_steady_ride_without_jitter_turns_exactly_as_told():
    going = ride("steady", rev_s=50, seconds=5, cycle_turns=2, jitter=0, generator=np.random.default_rng(1))
    assert going.speed_over(0, 5) == pytest.approx(50, rel=1e-12)


@pytest.mark.parametrize("profile", ["drift", "ramp", "hunting", "step", "run-down"])
def test_the_angle_is_the_integral_of_the_speed(profile):
    # Another road: sum the governed speed over a fine grid.
    going = ride(profile, rev_s=50, seconds=5, cycle_turns=2, jitter=0, generator=np.random.default_rng(2))
    t = np.linspace(0.5, 4.5, 400_001)
    turned = float(np.sum(going.governed_at(t)[:-1]) * (t[1] - t[0]))
    assert going.speed_over(0.5, 4.5) * 4 == pytest.approx(turned, rel=1e-4)


def test_single_cycles_vary_by_the_jitter_asked_for():
    # Property: the standard deviation of 2,500 cycle times, known to 1.5 %.
    going = ride(
        "steady", rev_s=50, seconds=100, cycle_turns=2, jitter=0.005, generator=np.random.default_rng(3)
    )
    cycles = np.diff(going.time_at(np.arange(0, 4990, 2.0)))
    assert float(np.std(cycles) / np.mean(cycles)) == pytest.approx(0.005, rel=0.06)


def test_a_run_down_comes_to_rest_and_stays_there():
    going = ride(
        "run-down", rev_s=50, seconds=10, cycle_turns=2, jitter=0.005, generator=np.random.default_rng(4)
    )
    assert going.speed_over(9, 10) == pytest.approx(0, abs=1e-9)
    assert 3 < going.release_s < 5


def test_noise_is_as_loud_as_asked_in_the_band():
    # Property: at 0 dB the recording has twice the power of the clean one; both drawn alike.
    loud = record(Scene(rev_s=50, snr_db=0, jitter=0), np.random.default_rng(5))
    clean = record(Scene(rev_s=50, snr_db=80, jitter=0), np.random.default_rng(5))
    shared = np.vdot(loud.samples, clean.samples) / np.vdot(clean.samples, clean.samples)
    ratio = band_rms(loud.samples.astype(float), loud.rate) / band_rms(
        shared * clean.samples.astype(float), loud.rate
    )
    assert ratio**2 == pytest.approx(2.0, rel=0.05)


def test_the_firing_rate_and_its_half_orders_are_in_the_sound():
    # Published: f = n cyl / 120 (read: an ignition primer): a single at 3,000 rpm fires 25 times a second.
    take = record(Scene(rev_s=50, snr_db=40, jitter=0, cut_off=20), np.random.default_rng(6))
    power = np.abs(np.fft.rfft(take.samples * np.hanning(len(take.samples)))) ** 2
    at = {f: power[round(f * 5) - 1 : round(f * 5) + 2].sum() for f in (50.0, 75.0, 62.5)}
    assert at[50.0] > 100 * at[62.5]
    assert at[75.0] > 100 * at[62.5]


def test_a_blade_through_a_belt_makes_its_own_tone():
    # By hand: 50 rev/s times 1.1 times two tips is 110 Hz.
    scene = Scene(rev_s=50, snr_db=40, jitter=0, cut_off=20, blade=Blade(1.1, 2, 3.0))
    take = record(scene, np.random.default_rng(7))
    power = np.abs(np.fft.rfft(take.samples * np.hanning(len(take.samples)))) ** 2
    assert power[549:552].sum() > 100 * power[557:560].sum()


def test_the_same_seed_records_the_same_samples():
    scene = Scene(rev_s=50, profile="hunting")
    takes = [record(scene, np.random.default_rng(8)).samples for _ in range(2)]
    assert np.array_equal(*takes)


def test_edges_without_faults_stand_at_the_marks():
    going = ride(
        "drift", rev_s=50, seconds=2, cycle_turns=2, jitter=0.005, generator=np.random.default_rng(9)
    )
    t = edges(going, PickUp((0.25,)), seconds=2.0, generator=np.random.default_rng(9))
    assert going.turns_at(t) % 1 == pytest.approx(0.25, abs=1e-9)


def test_a_filmed_mark_stands_where_the_shaft_is():
    # By hand: after a quarter turn a mark that began at the right stands at the bottom (rows run down).
    going = ride("steady", rev_s=50, seconds=1, cycle_turns=2, jitter=0, generator=np.random.default_rng(1))
    start = float(going.time_at(np.array([10.25]))[0])
    camera = Camera(30, size=(60, 60), noise=0, readout_s=0, exposure_s=1e-6)
    frame = next(pictures(going, Part(), camera, np.array([start]), np.random.default_rng(1))).astype(float)
    assert frame[45:54, 28:32].mean() - frame[6:15, 28:32].mean() > 60


def test_a_part_that_leans_away_is_seen_shorter_and_its_far_side_smaller():
    # By hand: leaning 60 degrees towards the right, half as wide; the lens, two picture heights off (near = 0.5), sees
    # the rim's far point, 0.4 out, at 0.4 cos 60 / (1 + 0.5 * 0.4 sin 60) = 0.170, its near one at 0.2 / 0.827 = 0.242.
    going = ride("steady", rev_s=50, seconds=1, cycle_turns=2, jitter=0, generator=np.random.default_rng(1))
    part = Part(marks=tuple(np.arange(20) / 20), width=0.05, radius=(0.3, 0.4), tilt=np.pi / 3, near=0.5)
    camera = Camera(30, size=(400, 400), noise=0, readout_s=0, exposure_s=1e-6)
    frame = next(pictures(going, part, camera, np.array([0.0]), np.random.default_rng(1))).astype(float)
    bare = next(
        pictures(going, Part(contrast=0.0), camera, np.array([0.0]), np.random.default_rng(1))
    ).astype(float)
    lit = np.argwhere(frame - bare > 50)
    across = (lit[:, 1] - 200) / 400
    assert across.max() == pytest.approx(0.170, abs=0.004)
    assert across.min() == pytest.approx(-0.242, abs=0.004)


def test_a_panel_is_lit_in_the_rows_that_are_open_when_the_lamp_flashes():
    # By hand: at 50 turns a second a flash at 0.25 of the turn, 5 ms on, lights the row half way down one of 10 ms.
    going = ride("steady", rev_s=50, seconds=1, cycle_turns=2, jitter=0, generator=np.random.default_rng(1))
    start = float(going.time_at(np.array([10.0]))[0])
    camera = Camera(30, size=(200, 60), noise=0, readout_s=0.01, exposure_s=1e-5)
    panel = Panel(marks=(0.25,), width=0.02, rows=(0.0, 1.0), columns=(0.0, 0.5))
    frame = next(pictures(going, panel, camera, np.array([start]), np.random.default_rng(1))).astype(float)
    bare = next(
        pictures(going, Part(contrast=0.0), camera, np.array([start]), np.random.default_rng(1))
    ).astype(float)
    row, column = np.argwhere(frame - bare > 50).T
    assert row.mean() == pytest.approx(100, abs=1.5)
    assert len(set(row)) == pytest.approx(0.02 / 50 / 0.01 * 200, abs=2)  # by hand: 0.4 ms of 10 are 8 rows
    assert column.max() < 30


def test_the_simulator_imports_nothing_of_the_estimator():
    for path in Path(ride_module.__file__).parent.glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            names = [a.name for a in node.names] if isinstance(node, ast.Import) else []
            names += [node.module or ""] if isinstance(node, ast.ImportFrom) else []
            assert not any(n.startswith(("snath.formulas", "snath.decisions")) for n in names), path.name
