import json

import pytest
from click.testing import CliRunner

from snath.shop.cli.main import main
from snath.shop.media.comparisons import kept_comparisons


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
