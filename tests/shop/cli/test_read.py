import json
import re

import numpy as np
import pytest
from click.testing import CliRunner

from benchmarks.simulator.engine import Scene, record
from benchmarks.simulator.files import film_file, sound_file
from benchmarks.simulator.film import Camera, Part, moments, pictures
from benchmarks.simulator.ride import ride
from snath.shop.cli.main import main
from tests.shop import ladder

SHEET = """
name = "test machine"
kind = "walk-behind rotary mower"
[engine]
strokes = 4
cylinders = 1
ignition = "{ignition}"
{more}
[[member]]
name = "blade"
shaft = "crankshaft"
[member.blade]
arms = ["{arm} in", "{arm} in"]
"""


def sheet_text(ignition="wasted spark", more="", arm=10):
    return SHEET.format(ignition=ignition, more=more, arm=arm)


def run(*args):
    done = CliRunner().invoke(main, ["read", *map(str, args)])
    assert done.exception is None or isinstance(done.exception, SystemExit), done.exception
    return done


def answered(*args):
    done = run(*args, "--json")
    return done.exit_code, json.loads(done.stdout)


@pytest.fixture
def pulses(tmp_path):
    """100 pulses at 55 a second, 3,300 rpm at one a turn."""
    path = tmp_path / "log.csv"
    path.write_text("t_s\n" + "".join(f"{i / 55:.9f}\n" for i in range(100)))
    return path


def sheet(tmp_path, ignition="wasted spark"):
    path = tmp_path / "sheet.toml"
    path.write_text(sheet_text(ignition))
    return path


def test_a_pulse_log_with_its_pulses_a_turn_is_one_speed(pulses):
    code, said = answered(pulses, "--per-turn", "1")
    assert code == 0
    # By hand: 55 pulses a second at one a turn are 3,300 rpm.
    assert said["rpm"] == pytest.approx(3300, abs=1e-3)
    assert said["decided"] is True
    # By hand: cycle jitter 0.5 % over the root of 49.5 cycles, 2.345 rpm, and the clock's 75 ppm, 0.25 rpm.
    assert said["u_rpm"] == pytest.approx(2.36, abs=0.02)
    assert said["seconds"] == pytest.approx(1.8)
    assert said["candidates"][0]["rpm"] == said["rpm"]


def test_a_bare_pulse_log_is_undecided_with_exit_code_3(pulses):
    code, said = answered(pulses)
    assert code == 3
    assert said["rpm"] is None
    assert said["decided"] is False
    assert sorted(round(c["rpm"]) for c in said["candidates"]) == [1650, 3300, 6600]


def test_the_sheets_ignition_settles_a_spark_log(pulses, tmp_path):
    code, said = answered(pulses, "--sheet", sheet(tmp_path), "--per-turn", "spark")
    assert (code, round(said["rpm"])) == (0, 3300)
    code, said = answered(pulses, "--sheet", sheet(tmp_path))
    assert (code, round(said["rpm"])) == (0, 3300)


def test_the_text_answer_says_speed_doubt_and_caution(pulses):
    done = run(pulses, "--per-turn", "1")
    assert done.stdout.startswith("3,300.0 rpm at the crankshaft, u = ")
    assert "Nobody films or looks under a running deck" in done.stdout


@pytest.mark.parametrize(
    ("args", "field"),
    [
        (("--per-turn", "many"), "per turn"),
        (("--per-turn", "0"), "per turn"),
        (("--per-turn", "spark"), "per turn"),
        (("--clock", "-5"), "clock"),
        (("--exposure", "fast"), "exposure"),
    ],
)
def test_wrong_input_is_named_with_exit_code_2(pulses, args, field):
    code, said = answered(pulses, *args)
    assert code == 2
    assert said["errors"][0]["field"] == field


def test_no_such_file_is_wrong_input():
    code, said = answered("nowhere.wav")
    assert code == 2
    assert said["errors"][0]["field"] == "recording"


def test_an_unknown_shaft_is_wrong_input(pulses, tmp_path):
    code, said = answered(pulses, "--sheet", sheet(tmp_path), "--at", "mandrel")
    assert code == 2
    assert said["errors"][0]["field"] == "at"


def test_a_track_is_written_turn_by_turn(pulses, tmp_path):
    answered(pulses, "--per-turn", "1", "--track", tmp_path / "track.csv")
    table = np.loadtxt(tmp_path / "track.csv", delimiter=",", skiprows=1)
    assert len(table) == 99
    assert table[:, 1] == pytest.approx(3300, abs=0.01)


def test_a_picture_of_the_course_or_of_the_evidence_is_drawn(pulses, tmp_path):
    assert run(pulses, "--per-turn", "1", "--plot", tmp_path / "course.svg").exit_code == 0
    assert (tmp_path / "course.svg").read_text().startswith("<svg")
    take = record(Scene(rev_s=50.0, seconds=3.0, snr_db=20), np.random.default_rng(1))
    (tmp_path / "engine.wav").write_bytes(sound_file(take.samples, take.rate, "wav"))
    run(tmp_path / "engine.wav", "--sheet", sheet(tmp_path), "--plot", tmp_path / "evidence.svg")
    drawn = (tmp_path / "evidence.svg").read_text()
    assert "the sound stands out along" in drawn


def test_a_sound_with_its_sheet_is_one_speed(tmp_path):
    take = record(Scene(rev_s=50.0, snr_db=15), np.random.default_rng(2))
    (tmp_path / "engine.m4a").write_bytes(sound_file(take.samples, take.rate, "m4a"))
    code, said = answered(tmp_path / "engine.m4a", "--sheet", sheet(tmp_path))
    assert code == 0
    # Another road: the turns the simulated crankshaft made; 0.1 % is the limit at the faintest sound.
    assert said["rpm"] == pytest.approx(60 * take.ride.speed_over(0, 5), rel=1e-3)
    assert said["confirmed"] is False
    assert {"phone clock", "cycle jitter and wander"} <= {line["source"]["text"] for line in said["budget"]}


def test_a_long_film_or_sound_tells_its_progress_only_on_standard_error(pulses):
    done = run(pulses, "--per-turn", "1", "--json")
    json.loads(done.stdout)
    assert done.stderr == ""


def test_what_the_sheet_knows_of_limits_and_targets_never_enters_a_reading(pulses, tmp_path):
    maker = '[engine.maker_no_load]\nspeed = "2,900 rpm ± 100 rpm"\ncondition = "blades in air"\nsource = "manual"\n'
    texts = [sheet_text(more=more, arm=arm) for more in ("", maker) for arm in (9, 12)]
    answers = set()
    for text in texts:
        path = tmp_path / "s.toml"
        path.write_text(text)
        done = run(pulses, "--sheet", path, "--json")
        assert done.exit_code == 0, done.stdout
        answers.add(done.stdout)
    assert len(answers) == 1


def test_a_film_with_uneven_frames_is_one_speed(tmp_path):
    generator = np.random.default_rng(1)
    going = ride("steady", rev_s=50.3, seconds=4, cycle_turns=2, jitter=0.005, generator=generator)
    camera = Camera(30, stamps="uneven", size=(60, 80))
    began, stamped = moments(camera, 3.5, generator)
    path = tmp_path / "mark.mp4"
    path.write_bytes(film_file(pictures(going, Part(), camera, began, generator), stamped, size=camera.size))
    code, said = answered(path)
    assert code == 3  # nobody has said how many marks there are
    assert said["next_steps"][0]["code"] == "film-ask.marks"
    code, said = answered(path, "--marks", "1")
    assert code == 0
    assert said["method"] == "light"
    assert said["rpm"] == pytest.approx(60 * going.speed_over(began[0], began[-1]), rel=1e-3)
    # By hand: the same film said to be taken at 8 times its stamps turns 8 times as fast.
    code, said = answered(path, "--marks", "1", "--capture-rate", "240")
    assert all(c["rpm"] > 0 for c in said["candidates"])


def test_even_frames_are_one_speed_where_the_readout_time_is_told(tmp_path):
    generator = np.random.default_rng(1)
    going = ride("steady", rev_s=22.3, seconds=4, cycle_turns=2, jitter=0.005, generator=generator)
    camera = Camera(60, size=(60, 80), readout_s=0.012)
    began, stamped = moments(camera, 3.5, generator)
    path = tmp_path / "mark.mp4"
    path.write_bytes(film_file(pictures(going, Part(), camera, began, generator), stamped, size=camera.size))
    mower = ("--sheet", sheet(tmp_path), "--marks", "1")
    code, said = answered(path, *mower)
    assert code == 3
    assert len(said["candidates"]) == 3
    assert any(step["code"] == "film-ask.readout" for step in said["next_steps"])
    shown = run(path, *mower).stdout
    assert "needs rows that are read in" in shown
    code, said = answered(path, *mower, "--readout", "12")
    assert code == 0
    assert said["rpm"] == pytest.approx(60 * going.speed_over(began[0], began[-1]), rel=1e-3)
    # By hand: 60 frames/s are 16.7 ms apart, 18.3 with a tenth to spare.
    code, said = answered(path, "--readout", "25")
    assert code == 2
    assert said["errors"][0]["field"] == "readout"
    # A mark that goes round is no flash: what was said wrongly decides nothing.
    code, said = answered(path, *mower, "--readout", "12", "--lit-at-once")
    assert code == 3


@pytest.fixture
def ladders(tmp_path):
    """Idle and two governed speeds, by sound with its sheet and as a list of pulses, one a turn."""
    (tmp_path / "ladder.wav").write_bytes(ladder.as_sound())
    (tmp_path / "ladder.csv").write_bytes(ladder.as_pulses())
    (tmp_path / "single.toml").write_text(sheet_text())
    return {
        "sound": (tmp_path / "ladder.wav", "--sheet", tmp_path / "single.toml"),
        "pulses": (tmp_path / "ladder.csv", "--per-turn", "1"),
    }


@pytest.mark.parametrize("way", ["sound", "pulses"])
def test_held_speeds_are_told_with_names_times_and_doubt(ladders, way):
    # By construction, see `ladder`; within 0.3 % by cycle jitter and three times what is claimed.
    code, said = answered(*ladders[way])
    assert (code, said["rpm"], said["begin_s"]) == (3, None, 0.0)
    held = said["held_speeds"]
    assert [one["rpm"] for one in held] == pytest.approx(list(ladder.RPM), rel=3e-3)
    for one, rpm, (begin, end) in zip(held, ladder.RPM, ladder.ENDS, strict=True):
        assert abs(one["rpm"] - rpm) < 3 * one["u_rpm"] < 0.02 * rpm
        assert begin - 0.3 < one["from_s"] < one["to_s"] < end + 0.3
        assert one["name"] == f"held from {one['from_s']:.1f} to {one['to_s']:.1f} s"
    assert [one["name"] for one in held] == [c["order"]["text"] for c in said["candidates"]]


def test_one_held_speed_is_no_list_of_held_speeds(pulses):
    assert answered(pulses, "--per-turn", "1")[1]["held_speeds"] == []


@pytest.mark.parametrize("way", ["sound", "pulses"])
def test_times_of_a_stretch_are_those_of_the_recording_in_text_json_track_and_plot(ladders, way, tmp_path):
    # By construction: 3,300 rpm up to 10 s, 3,180 rpm after it; the stretch begins at 6 s.
    files = ("--track", tmp_path / "track.csv", "--plot", tmp_path / "plot.svg")
    code, said = answered(*ladders[way], "--from", "6", "--to", "15", *files)
    assert (code, len(said["held_speeds"])) == (3, 2)
    assert said["begin_s"] == pytest.approx(6.0, abs=0.03)
    first, second = said["held_speeds"]
    times = (first["from_s"], first["to_s"], second["from_s"], second["to_s"])
    assert times == pytest.approx((6, 10, 10, 15), abs=0.7)
    text = run(*ladders[way], "--from", "6", "--to", "15").stdout
    assert f"{second['from_s']:.1f} to {second['to_s']:.1f} s: 3,1" in text
    assert "only 6.0 to 15.0 s of the recording was read" in text
    table = np.loadtxt(tmp_path / "track.csv", delimiter=",", skiprows=1)
    assert (table[0, 0], table[-1, 0]) == pytest.approx((6, 15), abs=0.4)
    drawn = (tmp_path / "plot.svg").read_text()
    seconds = [float(n) for n in re.findall(r'text-anchor="middle"[^>]*>([\d.]+)</text>', drawn)]
    assert seconds
    assert min(seconds) >= 6
    assert max(seconds) <= 15
    assert "<polyline" in drawn


@pytest.mark.parametrize("way", ["sound", "pulses"])
@pytest.mark.parametrize(
    ("stretch", "field"),
    [(("--from", "9", "--to", "4"), "from"), (("--from", "60"), "from"), (("--to", "-1"), "to")],
)
def test_a_stretch_that_is_none_is_wrong_input_by_name(ladders, way, stretch, field):
    code, said = answered(*ladders[way], *stretch)
    assert code == 2
    assert said["errors"][0]["field"] == field
