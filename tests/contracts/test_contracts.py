"""Schemas stand frozen by their number; every answer of the examples and every example file keeps its own."""

import json
import tomllib
from pathlib import Path

import pytest
from click.testing import CliRunner
from jsonschema import Draft202012Validator

import snath
from snath.shop.answers.schema import NAMES, number_of, schema_of
from snath.shop.cli.main import main
from tests.schemas import closed

HERE = Path(__file__).parent
SHEETS = sorted(Path("examples").glob("*.toml"))
JOBS = sorted(Path("examples/jobs").glob("*.toml"))
ROUTES = sorted(Path("examples/routes").glob("*.toml"))


def faults(name: str, given: object) -> list[str]:
    """What a validator finds against it, as another program has it."""
    data = json.loads(json.dumps(given, default=str))
    found = Draft202012Validator(closed(schema_of(name))).iter_errors(data)
    return [f"{'.'.join(map(str, one.absolute_path))}: {one.message[:200]}" for one in found]


@pytest.mark.parametrize("name", NAMES)
def test_a_changed_schema_needs_a_new_number(name):
    frozen = HERE / f"{name}-{number_of(name)}.json"
    assert frozen.is_file(), "freeze it: snath schema NAME > tests/contracts/NAME-NUMBER.json"
    assert schema_of(name) == json.loads(frozen.read_text("utf-8")), "give it a new number, and freeze that"


@pytest.mark.parametrize("path", sorted(HERE.glob("*.json")), ids=lambda path: path.stem)
def test_a_frozen_schema_is_one_and_carries_its_number(path):
    schema = json.loads(path.read_text("utf-8"))
    Draft202012Validator.check_schema(schema)
    name, _, number = path.stem.rpartition("-")
    assert schema["$id"] == f"urn:snath:{name}:{number}"


@pytest.mark.parametrize("name", NAMES)
def test_the_command_prints_it(name):
    done = CliRunner().invoke(main, ["schema", name])
    assert (done.exit_code, json.loads(done.output)) == (0, schema_of(name))


def test_a_name_there_is_not_is_refused_with_the_nearest():
    done = CliRunner().invoke(main, ["schema", "sheets", "--json"])
    assert done.exit_code == 2
    assert faults("errors", json.loads(done.output)) == []
    assert "nearest: sheet" in done.output


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda path: path.stem)
def test_every_example_sheet_and_its_answers_keep_their_schemas(sheet):
    machine = snath.read_sheet(sheet)
    assert faults("sheet", machine.to_dict()) == []
    assert faults("window-answer", snath.window(machine).to_dict()) == []
    reading = "3.190 rpm" if machine.decimal_mark == "," else "3,190 rpm"
    found = snath.judge(machine, [reading], decimal_mark="," if machine.decimal_mark == "," else None)
    assert faults("judge-answer", found.to_dict()) == []


@pytest.mark.parametrize("job", JOBS, ids=lambda path: path.stem)
def test_every_example_job_and_its_answer_keep_their_schemas(job):
    assert faults("job", tomllib.loads(job.read_text("utf-8"))) == []
    assert faults("job-answer", snath.work(job).to_dict()) == []


@pytest.mark.parametrize("route", ROUTES, ids=lambda path: path.stem)
def test_every_example_route_keeps_its_schema(route):
    assert faults("route", tomllib.loads(route.read_text("utf-8"))) == []


def test_limits_keep_their_schema():
    assert faults("limit-answer", snath.limit("22 in").to_dict()) == []
    assert faults("limit-answer", snath.limit("558 mm ± 1 mm", ratio=0.8, language="de").to_dict()) == []


@pytest.fixture
def pulses(tmp_path):
    """100 pulses at 55 a second."""
    path = tmp_path / "log.csv"
    path.write_text("t_s\n" + "".join(f"{i / 55:.9f}\n" for i in range(100)))
    return path


@pytest.mark.parametrize(
    "asked", [{"per_turn": 1}, {}, {"language": "de", "machine": SHEETS[0], "per_turn": 2}]
)
def test_a_recording_of_one_speed_or_of_several_keeps_its_schema(pulses, asked):
    assert faults("read-answer", snath.read(pulses, **asked).to_dict()) == []


def test_drives_and_what_just_fails_keep_their_schema(tmp_path):
    sheet = "examples/belt_28_inch.toml"
    found = snath.drive(sheet, "examples/stock", most=60).to_dict()
    assert found["drives"]
    assert faults("drive-answer", found) == []
    for name, rows in (("sheaves", 1), ("belts", 2)):  # the heading and next to nothing
        lines = Path(f"examples/stock/{name}.csv").read_text("utf-8").splitlines()
        (tmp_path / f"{name}.csv").write_text("\n".join(lines[:rows]) + "\n")
    none = snath.drive(sheet, tmp_path).to_dict()
    assert (none["drives"], bool(none["misses"])) == ([], True)
    assert faults("drive-answer", none) == []


def test_a_fleet_with_faults_and_an_earlier_one_keep_their_schema():
    rows = [
        {"machine": "X", "kind": "rocket"},
        {"number": 7, "kind": "walk-behind rotary mower", "blade": "22 in"},
    ]
    earlier = snath.fleet(SHEETS[:2])
    for found in (earlier, snath.fleet(rows), snath.fleet(rows, before=earlier, language="de")):
        assert faults("fleet-answer", found.to_dict()) == []


@pytest.mark.parametrize(
    ("name", "spoilt"),
    [("limit-answer", {"rpm": "3298"}), ("limit-answer", {"rpm_exact": []}), ("limit-answer", {"more": 1})],
)
def test_the_guard_bites(name, spoilt):
    assert faults(name, {**snath.limit("22 in").to_dict(), **spoilt})
    assert faults(name, {})
