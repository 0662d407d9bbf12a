"""A job file that asks what the machine does beside its speed: worked whole, and every fault named with its line."""

import json
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from snath.decisions.job.schema import job_from_json, job_to_json, result_to_json
from snath.decisions.job.work import work
from snath.shop.cli.main import main
from snath.shop.files.job_file import read_job_file

EXAMPLES = Path("examples/jobs")
SURGING = EXAMPLES / "surging_mower.toml"


def run(path) -> tuple[int, dict]:
    done = CliRunner().invoke(main, ["job", str(path), "--json"], catch_exceptions=False)
    return done.exit_code, json.loads(done.output)


@pytest.fixture
def beside(tmp_path):
    """The example with lines replaced, in a folder of its own; a replacement that finds nothing is refused."""
    shutil.copytree(EXAMPLES, tmp_path / "jobs")

    def written(*swaps: tuple[str, str]) -> Path:
        text = SURGING.read_text()
        for old, new in swaps:
            assert old in text, old
            text = text.replace(old, new)
        path = tmp_path / "jobs/changed.toml"
        path.write_text(text)
        return path

    return written


@pytest.fixture(scope="module")
def surging() -> tuple[int, dict]:
    return run(SURGING)


def test_the_surging_mower_ends_in_a_pass_as_left_and_hunts_as_found(surging):
    # Invented data: 55 rpm of swing to each side at 1.35 Hz were put into the track.
    code, found = surging
    before, after = found["behaviour"]["governor_found"], found["behaviour"]["governor_left"]
    assert (code, before["hunts"], after["hunts"]) == (0, True, False)
    assert before["half_swing"] * 60 == pytest.approx(55, abs=1)
    assert before["steady"][0]["hunting"]["rate"] == pytest.approx(1.35, rel=0.02)
    assert found["as_found"]["stands"]["verdict"] == "fail"
    assert found["as_left"]["stands"]["verdict"] == "pass"


def test_droop_comes_from_typed_loaded_and_the_track_s_no_load(surging):
    # By hand: the track swings about 3,880 rpm; (3,880 - 3,700) / 3,700 = 4.86 %.
    droop = surging[1]["behaviour"]["governor_found"]["droop_on_loaded"]["value"]
    assert droop == pytest.approx(0.0486, abs=0.001)


def test_the_speed_wished_for_under_load_is_past_what_the_blade_allows(surging):
    # By hand: droop as left (3,100 - 2,962) / 2,962 = 4.66 %: 3,700 takes 3,872; 3,455 leaves 3,301 at most.
    wish = surging[1]["behaviour"]["wanted"]
    assert wish["allowed"] is False
    assert wish["no_load"]["value"] * 60 == pytest.approx(3872, abs=3)
    assert wish["most_loaded"]["value"] * 60 == pytest.approx(3301, abs=3)


def test_the_stop_test_passes_by_manual_and_rule(surging):
    # By hand: n' = -(17 + 0.0045 n^2) from 51.667 rev/s: t = atan(51.667 sqrt(0.0045/17)) / sqrt(17 x 0.0045) = 2.52 s.
    stop = surging[1]["behaviour"]["stop"]
    assert stop["word"] == "pass"
    assert stop["evidence"]["value"] == pytest.approx(2.52, abs=0.05)
    assert {limit["basis"] for limit in stop["limits"]} == {"maker's manual", "us-walk-behind-blade-stop"}


def test_setting_throw_balance_and_checks_are_answered(surging):
    found = surging[1]["behaviour"]
    assert found["setting"]["advice"] == "leave it"
    assert [one["stage"] for one in found["throw"]["carried"]] == ["as found", "as left", "at the limit"]
    # By hand: 6 g at 250 mm = 1.5e-3 kg m; times (2 pi 3100/60)^2 = 158.1 N.
    assert found["balance"]["force"] == pytest.approx(158.1, abs=0.1)
    assert found["checklist"]["may_set"] is True


def test_energies_compare_as_the_squares_of_the_speeds(surging):
    # By hand: (3,100 / 3,880)^2 = 0.638.
    carried = {one["stage"]: one for one in surging[1]["behaviour"]["throw"]["carried"]}
    assert carried["as left"]["beside_first"] == pytest.approx(0.638, abs=0.002)


def test_files_read_are_kept_by_their_hash_and_the_kept_job_works_the_same():
    job = read_job_file(str(SURGING)).job
    assert len({one.sha256 for one in job.evidence if one.media == "track"}) == 3
    again = job_from_json(job_to_json(job))
    assert result_to_json(work(again)) == result_to_json(work(job))


def test_a_stop_past_its_limit_ends_in_code_one_though_the_speed_passes(beside):
    code, found = run(beside(('maker_limit = "3 s"', 'maker_limit = "2.2 s"')))
    assert found["as_left"]["stands"]["verdict"] == "pass"
    assert (code, found["behaviour"]["stop"]["word"]) == (1, "fail")


def test_a_hunting_governor_as_left_blocks_pass_and_advice(beside):
    code, found = run(
        beside(
            ('tracks/steady_left.csv"\nload_on  = ["12 s"]\nload_off = ["24 s"]', 'tracks/surging_found.csv"')
        )
    )
    assert (code, found["behaviour"]["setting"]["advice"]) == (3, "repair first")
    assert found["as_left"]["stands"]["verdict"] != "pass"


def test_open_checks_hold_setting_advice_back_and_a_fault_blocks_it(beside):
    code, found = run(beside(('check = "static"\nstate = "done"', 'check = "static"\nstate = "open"')))
    assert (code, found["behaviour"]["setting"]["advice"]) == (0, "checks first")
    code, found = run(beside(('check = "static"\nstate = "done"', 'check = "static"\nstate = "fault"')))
    assert (code, found["behaviour"]["setting"]["advice"]) == (1, "blocked")


@pytest.mark.parametrize(
    ("old", "new", "field", "says"),
    [
        ('loaded   = "3,700 rpm ± 15 rpm"', 'loaded   = "3,980 rpm ± 15 rpm"', "governor_found.loaded", "swapped"),
        ('load_on  = ["12 s"]', 'load_on  = ["90 s"]', "governor_left.load_on", "must lie on the track"),
        ('load     = "1.1 kW"', 'load     = "1.1 km"', "governor_left.load", "power"),
        ('track    = "tracks/steady_left.csv"', 'track    = "tracks/nowhere.csv"', "governor_left.track", "exists"),
        ('kind         = "turns"', 'kind         = "clicks"', "setting.kind", "must be one of turns"),
        ("position = 2", "position = 5000", "setting.point[2].position", "at least -1000 and at most 1000"),
        ('release     = "2.0 s"', 'release     = "5 s"\nstandstill = "4 s"', "stop.release", "before the standstill"),
        ('device      = "flywheel brake"', 'device      = "handbrake"', "stop.device", "must be one of flywheel"),
        ('[stop]\n', '[stop]\nblade_shaft = "spindle"\n', "stop.blade_shaft", "shaft of the sheet"),
        ('mass = "20 g"', 'mass = "-20 g"', "throw.thing[1].mass", "must be a mass"),
        ('[throw]\n', '[throw]\nbounce_low = 0.9\nbounce_high = 0.2\n', "throw.bounce_high", "the least bounce, 0.9"),
        ('mass           = "0.8 kg"', 'mass           = "-1 kg"', "balance.mass", "must be a mass"),
        ('machine_mass   = "32 kg"', 'grade = "G17"', "balance.grade", "must be one of"),
        ('missing_radius = "250 mm"', 'missing_radius = "300 mm"', "balance.missing_radius", "at most"),
        ('check = "static"', 'check = "vibes"', "checklist.mark[6].check", "must be one of"),
        ('check = "static"', 'check = "idle"', "checklist.mark", "marked twice"),
        ('seals = "Gov', 'sealed = "Gov', "checklist.sealed", "did you mean seals"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_named_with_its_line(beside, old, new, field, says):
    code, found = run(beside((old, new)))
    assert code == 2
    named = next(
        error for error in found["errors"] if error["field"].startswith(field.split("[")[0].split(".")[0])
    )
    assert named["field"].startswith(field)
    assert says in named["allowed"]
    assert "(line " in named["allowed"]


def test_several_impossible_parts_are_told_at_once(beside):
    code, found = run(
        beside(
            ('loaded   = "3,700 rpm ± 15 rpm"', 'loaded   = "3,980 rpm ± 15 rpm"'),
            ('release     = "2.0 s"', 'release     = "44 s"'),
            ('missing_radius = "250 mm"', 'missing_radius = "300 mm"'),
        )
    )
    assert code == 2
    assert len({error["field"].split(".")[0] for error in found["errors"]}) == 3


def test_a_track_shorter_than_hunting_needs_is_refused(beside, tmp_path):
    (tmp_path / "jobs/short.csv").write_text("t_s,rpm\n0,3100\n0.5,3101\n1,3100\n")
    code, found = run(beside(("tracks/surging_found.csv", "short.csv")))
    assert code == 2
    assert "too short" in found["errors"][0]["allowed"]


def test_two_sources_for_one_track_are_refused(beside):
    code, found = run(beside(('track    = "tracks/steady_left.csv"', 'track = "a.csv"\nrecording = "b.wav"')))
    assert code == 2
    assert "not both" in found["errors"][0]["allowed"]


def test_a_job_that_asks_nothing_but_its_checks_answers_nothing_else():
    _, found = run(EXAMPLES / "walk_behind_left_at_3600.toml")
    assert [name for name, answer in found["behaviour"].items() if answer is not None] == ["checklist"]


@pytest.mark.parametrize(
    ("language", "hot"), [("en", "muffler and exhaust are hot"), ("de", "Auspuff")], ids=["English", "German"]
)
def test_what_comes_before_a_hand_at_a_running_engine_is_said_once_a_job(language, hot):
    # Two stages read and two governors: said four times over, nobody reads it.
    done = CliRunner().invoke(main, ["job", str(SURGING), "--language", language], catch_exceptions=False)
    assert done.output.count(hot) == 1
    assert done.output.index(hot) < done.output.index("3,880" if language == "en" else "3.880")
