"""Property: what a function answers is what the command of the same name prints with --json, for every example."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

import snath
from snath.shop.cli.main import main

SHEETS = sorted(Path("examples").glob("*.toml"))
JOBS = sorted(Path("examples/jobs").glob("*.toml"))


def printed(*arguments: object) -> object:
    done = CliRunner().invoke(main, [*map(str, arguments), "--json"])
    assert done.exit_code in (0, 1, 3), done.output
    return json.loads(done.output)


def data(answer) -> object:
    """As a program at the other end has it."""
    return json.loads(json.dumps(answer.to_dict(), allow_nan=False))


@pytest.mark.parametrize("language", ["en", "de"])
def test_limit(language):
    asked = {"blade": "558 mm ± 1 mm", "width": "60 mm", "ratio": 0.8, "market": "EU"}
    options = [word for name, value in asked.items() for word in (f"--{name}", value)]
    found = snath.limit(**asked, language=language)
    assert data(found) == printed("limit", *options, "--language", language)


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda path: path.stem)
def test_window_and_verdict_of_every_example(sheet):
    machine = snath.read_sheet(sheet)
    assert data(snath.window(machine)) == printed("window", sheet)
    reading = "3.190 rpm" if machine.decimal_mark == "," else "3,190 rpm"
    asked = ("--decimal-mark", ",") if machine.decimal_mark == "," else ()
    mark = "," if asked else None
    found = snath.judge(machine, [reading], u="5 rpm", decimal_mark=mark)
    assert data(found) == printed("judge", sheet, "--reading", reading, "--u", "5 rpm", *asked)


@pytest.mark.parametrize("job", JOBS, ids=lambda path: path.stem)
def test_every_example_job(job):
    assert data(snath.work(job)) == printed("job", job)


@pytest.fixture
def pulses(tmp_path):
    """100 pulses at 55 a second: 3,300 rpm at one a turn, by hand."""
    path = tmp_path / "log.csv"
    path.write_text("t_s\n" + "".join(f"{i / 55:.9f}\n" for i in range(100)))
    return path


def test_a_recording_of_one_speed_and_of_several(pulses):
    found = snath.read(pulses, per_turn=1)
    assert found.rpm == pytest.approx(3300, abs=found.u_rpm)
    assert data(found) == printed("read", pulses, "--per-turn", 1)
    several = snath.read(pulses)
    assert (several.rpm, several.decided) == (None, False)
    assert any(one.rpm == pytest.approx(3300, abs=one.u_rpm) for one in several.candidates)
    assert all(one.why in several.working for one in several.candidates)
    assert data(several) == printed("read", pulses)


def test_a_stretch_of_a_recording_with_its_sheet_in_german(pulses):
    found = snath.read(pulses, SHEETS[0], per_turn=2, from_s=0.5, to_s=1.5, condition="peak", language="de")
    options = ("--per-turn", 2, "--from", 0.5, "--to", 1.5, "--condition", "peak", "--language", "de")
    assert data(found) == printed("read", pulses, "--sheet", SHEETS[0], *options)


@pytest.mark.parametrize(("language", "most"), [("en", 60), ("de", 1)])
def test_drives_from_the_example_stock(language, most):
    sheet, options = "examples/belt_28_inch.toml", ("--stock", "examples/stock", "--most", most)
    found = snath.drive(sheet, "examples/stock", most=most, language=language)
    assert data(found) == printed("drive", sheet, *options, "--language", language)
    for one in found.drives:
        # By hand: the engine slides from x = 30 to -70 mm, the blade stands at 450.
        assert one.centre_mm == pytest.approx(450 - one.moving.x_mm, abs=0.02)
        assert one.sheaves
        assert one.belt.name in found.working


def test_window_with_a_tachometer_in_german():
    sheet = SHEETS[0]
    found = snath.window(sheet, accuracy="0.1 %", instrument="optical", language="de")
    options = ("--accuracy", "0.1 %", "--instrument", "optical", "--language", "de")
    assert data(found) == printed("window", sheet, *options)


def test_a_fault_is_the_one_the_command_prints():
    done = CliRunner().invoke(main, ["limit", "--blade", "22", "--json"])
    with pytest.raises(snath.InputError) as fault:
        snath.limit("22")
    assert fault.value.to_dict() == json.loads(done.output)
