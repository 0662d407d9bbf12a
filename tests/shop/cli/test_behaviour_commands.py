"""Do the commands on governor, stop, throw and balance answer as promised, and refuse what cannot be?"""

import json

import numpy as np
import pytest
from click.testing import CliRunner

from snath.shop.cli.main import main

SHEET = "examples/jobs/sheets/walk_behind_21.toml"
BALANCE = (
    "balance",
    "--blade",
    "21 in",
    "--missing",
    "10 g",
    "--from-centre",
    "250 mm",
    "--speed",
    "3000 rpm",
)


def run(*arguments: str):
    return CliRunner().invoke(main, list(arguments), catch_exceptions=False)


def answered(*arguments: str) -> tuple[int, dict]:
    done = run(*arguments, "--json")
    return done.exit_code, json.loads(done.output)


def refused(*arguments: str) -> dict:
    code, found = answered(*arguments)
    assert code == 2
    return {key: found["errors"][0][key] for key in ("field", "given", "allowed")}


@pytest.fixture
def track(tmp_path):
    """Writes a speed in rpm over time as a track file."""

    def written(t, rpm, u_rpm=None):
        path = tmp_path / "track.csv"
        rows = "".join(
            f"{a:.3f},{b:.3f}" + ("" if u_rpm is None else f",{u_rpm}") + "\n"
            for a, b in zip(t, rpm, strict=True)
        )
        path.write_text(("t_s,rpm" if u_rpm is None else "t_s,rpm,u_rpm") + "\n" + rows)
        return str(path)

    return written


def swinging(depth=0.0):
    t = np.arange(0, 20, 0.05)
    generator = np.random.default_rng(81)
    return t, 3700 * (1 + depth * np.sin(2 * np.pi * 1.3 * t)) + 6 * generator.standard_normal(t.size)


def test_a_worked_alternator_meets_one_figure_and_misses_another():
    # By hand: 150/3600 = 4.17 %; 62.5 and 60 Hz; figures of ISO 8528-5: G2 5 %, G3 3 %.
    code, found = answered(
        "governor", "--no-load", "3750 rpm", "--loaded", "3600 rpm", "--poles", "2", "--load", "5 kW", "--rated", "5 kW"
    )  # fmt: skip
    assert code == 0
    assert found["droop_on_loaded"]["value"] == pytest.approx(0.041667, abs=1e-6)
    assert found["frequency_hz"] == [62.5, 60.0]
    words = {met["rule"]: met["word"] for met in found["figures"]}
    assert (words["generator-droop-g2"], words["generator-droop-g3"]) == ("meets", "misses")


def test_a_hunting_track_ends_in_exit_code_one_without_advice(track):
    t, rpm = swinging(0.02)
    tried = ("--tried", "0 = 3000 rpm", "--tried", "1 = 3200 rpm")
    band = ("--target", "3100 rpm", "--set-between", "3050 rpm", "3150 rpm", "--ceiling", "3455 rpm")
    code, found = answered("governor", "--track", track(t, rpm), *tried, *band, "--checks-done")
    assert code == 1
    assert found["hunts"] is True
    assert found["steady"][0]["rate_hz"] == pytest.approx(1.3, rel=0.02)
    assert found["next_setting"]["advice"] == "repair first"
    assert found["next_setting"]["position"] is None


def test_a_steady_track_and_two_settings_give_the_third(track):
    t, rpm = swinging()
    tried = ("--tried", "0 = 3000 rpm", "--tried", "2 = 3400 rpm")
    band = ("--target", "3200 rpm", "--set-between", "3170 rpm", "3230 rpm", "--ceiling", "3455 rpm")
    code, found = answered("governor", "--track", track(t, rpm), *tried, *band, "--checks-done")
    assert code == 0
    # By hand: midway between 1.000 and 0.9688 turns.
    assert found["next_setting"]["position"] == pytest.approx(0.984, abs=0.001)
    code, found = answered("governor", "--track", track(t, rpm), *tried, *band)
    assert found["next_setting"]["advice"] == "checks first"


def test_the_wished_for_speed_is_held_against_the_ceiling():
    # By hand: 4 % droop on loaded; 3,700 loaded takes 3,848; a ceiling of 3,455 leaves 3,322.1.
    code, found = answered(
        "governor", "--no-load", "3744 rpm", "--loaded", "3600 rpm", "--wanted", "3700 rpm", "--ceiling", "3455 rpm"
    )  # fmt: skip
    assert code == 0
    assert found["wanted"]["no_load_rpm"] == pytest.approx(3848)
    assert found["wanted"]["allowed"] is False
    assert found["wanted"]["most_loaded_rpm"] == pytest.approx(3322.1, abs=0.05)


def run_down(standstill):
    t = np.arange(0, standstill + 3.5, 0.05)
    generator = np.random.default_rng(82)
    return t, np.maximum(
        3100 * np.clip(1 - (t - 2) / standstill, 0, 1) + 8 * generator.standard_normal(t.size), 0
    )


def test_a_stop_in_time_passes_and_a_late_one_fails(track):
    # Truth: an even brake, 2.4 s and 4.5 s from release; limit 3.0 s (16 CFR 1205.5, read).
    test = ("--device", "flywheel brake", "--release", "2.0 s", "--market", "US")
    t, rpm = run_down(2.4)
    code, found = answered("stop", SHEET, track(t, rpm, 8), *test)
    assert (code, found["verdict"]) == (0, "pass")
    assert found["stop_s"] == pytest.approx(2.4, abs=0.05)
    t, rpm = run_down(4.5)
    code, found = answered("stop", SHEET, track(t, rpm, 8), *test)
    assert (code, found["verdict"]) == (1, "fail")


def test_a_track_without_release_is_undecided(track):
    t, rpm = run_down(2.4)
    code, found = answered("stop", SHEET, track(t, rpm, 8), "--device", "flywheel brake", "--market", "US")
    assert (code, found["verdict"]) == (3, "undecided")


def test_energies_of_a_stone_and_both_pictures(tmp_path):
    # By hand: pi 21 x 0.0254 x 3850 / 60 = 107.526 m/s; 0.02 x 107.526^2 / 2 = 115.62 J.
    customer, training = str(tmp_path / "customer.svg"), str(tmp_path / "training.svg")
    opening = ("--height", "80 mm", "--edge-distance", "300 mm", "--edge-high", "120 mm")
    pictures = ("--picture", customer, "--training-picture", training)
    code, found = answered("throw", "--blade", "21 in", "--found", "3850 rpm", *opening, *pictures)
    assert code == 0
    assert found["carried"][0]["energy_j"][0] == pytest.approx(115.62, abs=0.005)
    assert found["carried"][0]["leaves_m_s"] == [0.0, pytest.approx(215.052, abs=0.002)]
    assert found["training"][0]["farthest_m"][0] > 0
    assert "<svg" in (tmp_path / "customer.svg").read_text()
    assert "out of reach" in (tmp_path / "training.svg").read_text()


def test_wind_against_the_throw_brings_it_down_nearer():
    # Property: the farther, the more the wind goes along; a leading minus is a value and no option.
    opening = ("--height", "80 mm", "--edge-distance", "300 mm", "--edge-high", "120 mm")
    asked = ("throw", "--blade", "21 in", "--found", "3850 rpm", *opening, "--wind")
    against, still, along = (
        answered(*asked, wind)[1]["training"][0]["farthest_m"][0] for wind in ("-3 m/s", "0 m/s", "10.8 km/h")
    )
    assert against < still < along


def test_a_missing_bit_of_blade():
    # By hand: 2,500 g mm, 246.74 N.
    code, found = answered(*BALANCE, "--blade-mass", "0.8 kg")
    assert code == 0
    assert found["force"] == pytest.approx(246.74, abs=0.02)
    assert found["unbalance"] == pytest.approx(2.5e-3)


@pytest.mark.parametrize(
    ("arguments", "field", "allowed"),
    [
        (("governor", "--no-load", "3600 rpm", "--loaded", "3750 rpm"), "loaded", "were the two swapped"),
        (("governor",), "governor", "needs a no-load and a loaded speed"),
        (("governor", "--no-load", "3600"), "no-load", "rpm"),
        (
            ("governor", "--no-load", "3750 rpm", "--loaded", "3600 rpm", "--poles", "3"),
            "poles",
            "even whole number",
        ),
        (("governor", "--no-load", "3750 rpm", "--tried", "one"), "tried", "needs --target"),
        (("governor", "--track", "nowhere.csv"), "track", "must be a file that exists"),
        (("stop", SHEET, "nowhere.csv", "--device", "flywheel brake"), "track", "must be a file that exists"),
        (("throw", "--blade", "21 in", "--stone", "-20 g"), "stone", ""),
        (("throw", "--blade", "21 in", "--bounce", "0.2", "1.4"), "bounce", "at most 1"),
        (("throw", "--blade", "21 in", "--stone", "0 g"), "stone", "at least 0.01 g and at most 20,000.0 g"),
        (("throw", "--blade", "21 in", "--wind", "-3"), "wind", "-3 m/s against the throw"),
        (("throw", "--blade", "21 in", "--wind", "-3 N"), "wind", "a speed with its unit"),
        (("throw", "--blade", "21 in", "--found", "310000 rpm"), "found", "at most 30000 rpm"),
        (("throw", "--blade", "21 in", "--height", "80 mm"), "edge-distance", "measure all three"),
        (
            (
                "governor",
                "--no-load",
                "3750 rpm",
                "--loaded",
                "3600 rpm",
                "--poles",
                "2",
                "--frequency",
                "0 Hz",
            ),
            "frequency",
            "at least 1.00 Hz and at most 1,000.00 Hz",
        ),
        (("governor", "--no-load", "3800000 rpm", "--loaded", "3600 rpm"), "no-load", "at most 30,000 rpm"),
        ((*BALANCE, "--blade-mass", "0.8 kg", "--grind-at", "0 mm"), "grind-at", "must be over 0"),
        ((*BALANCE, "--blade-mass", "0.8 kg", "--mover", "2 g"), "mover-at", "where it was laid"),
        ((*BALANCE, "--blade-mass", "0.8 kg", "--grade", "G17"), "grade", "must be one of G40, G16"),
        ((*BALANCE, "--blade-mass", "0 kg"), "blade-mass", "must be at least 0.01 kg"),
    ],
)
def test_wrong_input_is_named_and_refused(arguments, field, allowed):
    error = refused(*arguments)
    assert error["field"] == field
    assert allowed in error["allowed"]


def test_a_speed_is_refused_in_rpm_as_it_was_typed():
    # The two speeds as typed, and nothing in rev/s.
    assert refused("governor", "--no-load", "3600 rpm", "--loaded", "3750.5 rpm") == {
        "field": "loaded",
        "given": "3,750.5 rpm",
        "allowed": "must not be above the no-load speed, 3,600 rpm: were the two swapped?",
    }


def test_a_run_down_of_too_few_points_is_refused(tmp_path):
    path = tmp_path / "short.csv"
    path.write_text("t_s,rpm\n0,3000\n1,2900\n2,2500\n")
    error = refused("stop", SHEET, str(path), "--device", "flywheel brake", "--release", "0.5 s")
    assert error == {
        "field": "track",
        "given": "3 points",
        "allowed": "too short: must hold at least 8 points",
    }


def test_a_release_after_the_standstill_is_refused(track):
    t, rpm = run_down(2.4)
    error = refused(
        "stop", SHEET, track(t, rpm, 8), "--device", "flywheel brake", "--release", "4.6 s", "--standstill", "4.4 s"
    )  # fmt: skip
    assert error == {
        "field": "release",
        "given": "4.6 s",
        "allowed": "must come before the standstill at 4.4 s",
    }


@pytest.mark.parametrize(
    ("text", "allowed"),
    [
        ("seconds,speed\n1,2\n", "must have columns t_s and rpm"),
        ("t_s,rpm\n1,fast\n", "must be numbers"),
        ("t_s,rpm\n1,nan\n", "must be finite numbers"),
        ("t_s,rpm\n", "must hold rows"),
        ("t_s,rpm\n0,3000\n1,3000\n", "too short"),
        ("t_s,rpm\n0,3000\n9,3000\n8,3000\n", "times must rise"),
        ("t_s,rpm\n0,3000\n9,-3000\n", "at least 0 and at most 30000 rpm"),
    ],
)
def test_a_bad_track_file_is_refused_with_its_line(tmp_path, text, allowed):
    path = tmp_path / "bad.csv"
    path.write_text(text)
    error = refused("governor", "--track", str(path))
    assert error["field"] == "track"
    assert allowed in error["allowed"]
