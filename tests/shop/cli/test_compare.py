import json

import pytest
from click.testing import CliRunner

from snath.shop.cli.main import main
from snath.shop.media.comparisons import kept_comparisons
from tests.shop import ladder


def run(*args):
    done = CliRunner().invoke(main, list(map(str, args)))
    assert done.exception is None or isinstance(done.exception, SystemExit), done.exception
    return done.exit_code, json.loads(done.stdout)


def log(tmp_path, rate, count=100):
    path = tmp_path / f"log{rate}-{count}.csv"
    path.write_text("t_s\n" + "".join(f"{k / rate:.9f}\n" for k in range(count)))
    return path


def test_three_comparisons_let_a_later_reading_count_as_checked(tmp_path):
    data = tmp_path / "data"
    for i, rate in enumerate((50, 55, 60), start=1):
        code, said = run(
            "compare", log(tmp_path, rate), "--per-turn", 1, "--tachometer", f"{rate * 60 + 1} rpm", "--u", "2 rpm",
            "--data", data, "--json",
        )  # fmt: skip
        assert code == 0
        assert said["comparisons"] == i
        # By hand: 1 rpm in 3,001, 3,301 and 3,601.
        assert said["off_percent"] == pytest.approx(-100 / (rate * 60 + 1), abs=1e-3)
    assert said["checked"] is True
    assert len(kept_comparisons(data)) == 3


def test_the_same_recording_counts_once(tmp_path):
    args = (
        "compare",
        log(tmp_path, 50),
        "--per-turn",
        1,
        "--tachometer",
        "3000 rpm",
        "--data",
        tmp_path,
        "--json",
    )
    assert run(*args)[0] == 0
    code, said = run(*args)
    assert code == 2
    assert "compared already" in said["errors"][0]["allowed"]


def test_a_contradiction_ends_with_code_1(tmp_path):
    code, said = run(
        "compare",
        log(tmp_path, 50),
        "--per-turn",
        1,
        "--tachometer",
        "1500 rpm",
        "--data",
        tmp_path,
        "--json",
    )
    assert code == 1
    assert said["contradicted"] is True


def test_an_undecided_recording_is_not_stored(tmp_path):
    code, said = run("compare", log(tmp_path, 50), "--tachometer", "3000 rpm", "--data", tmp_path, "--json")
    assert code == 3
    assert said["stored"] is False
    assert kept_comparisons(tmp_path) == ()


def test_a_spoilt_line_is_named(tmp_path):
    (tmp_path / "comparisons.jsonl").write_text('{"method": "sound"}\n')
    code, said = run("read", log(tmp_path, 50), "--per-turn", 1, "--data", tmp_path, "--json")
    assert code == 2
    assert "line 1" in said["errors"][0]["given"]


def test_stored_differences_enter_the_budget_of_the_next_reading_of_that_phone(tmp_path):
    data = tmp_path / "data"
    for rate, over in ((50, 1.002), (55, 1.004), (60, 1.006)):
        said = run(
            "compare", log(tmp_path, rate), "--per-turn", 1, "--tachometer", f"{rate * 60 / over:.6f} rpm",
            "--u", "0.001 rpm", "--phone", "old phone", "--data", data, "--json",
        )[1]  # fmt: skip
    # By hand: mean 0.4 %, standard deviation 0.2 %, from which the claimed doubt of the logs (cycle jitter
    # 0.5 % / sqrt(49.5 cycles) = 0.071 % and a clock of 75 ppm) goes off: 20e-6 - 0.51e-6, or 0.974 of both.
    assert said["u_bias_percent"] == pytest.approx(0.4 * 0.974**0.5, abs=0.003)
    assert said["u_spread_percent"] == pytest.approx(0.2 * 0.974**0.5, abs=0.003)
    asked = ("read", log(tmp_path, 40), "--per-turn", 1, "--data", data, "--json")
    none = tmp_path / "none"
    nowhere = ("read", log(tmp_path, 40), "--per-turn", 1, "--data", none, "--json")
    code, refused = run(*nowhere)  # nobody must believe that what was compared counted
    assert (code, refused["errors"][0]["field"]) == (2, "data")
    none.mkdir()
    bare = run(*nowhere)[1]
    told = run(*asked, "--phone", "old phone")[1]
    # By hand: 2,400 rpm times the root of 0.974 (0.4^2 + 0.2^2) % is 10.6 rpm, beside the log's own 1.7.
    assert told["u_rpm"] ** 2 - bare["u_rpm"] ** 2 == pytest.approx(10.6**2, rel=0.02)
    assert run(*asked, "--phone", "another")[1]["u_rpm"] == bare["u_rpm"]
    assert run(*asked)[1]["u_rpm"] == told["u_rpm"]


def test_of_a_recording_of_several_held_speeds_one_stretch_is_compared(tmp_path):
    # By construction, see `ladder`: 3,300 rpm from 4 to 10 s.
    path, data = tmp_path / "ladder.csv", tmp_path / "data"
    path.write_bytes(ladder.as_pulses())
    asked = ("compare", path, "--per-turn", 1, "--tachometer", "3300 rpm", "--data", data)
    whole = CliRunner().invoke(main, list(map(str, asked)))
    assert (whole.exit_code, kept_comparisons(data)) == (3, ())
    assert "by --from and --to" in whole.stdout
    code, said = run(*asked, "--from", 4.5, "--to", 9.5, "--json")
    assert (code, said["stored"]) == (0, True)
    assert said["off_percent"] == pytest.approx(0.0, abs=0.1)
