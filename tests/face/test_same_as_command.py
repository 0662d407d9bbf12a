"""Property: what a function answers is what the command of the same name prints with --json, for every example."""

import json
import sys
from pathlib import Path
from types import SimpleNamespace

import pytest
from click.testing import CliRunner

import snath
from snath.shop.cli.main import main

SHEETS = sorted(Path("examples").glob("*.toml"))
JOBS = sorted(Path("examples/jobs").glob("*.toml"))


def printed(*arguments: object, codes=(0, 1, 3)) -> object:
    done = CliRunner().invoke(main, [*map(str, arguments), "--json"])
    assert done.exit_code in codes, done.output[-300:]
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


TABLE = (
    "Number;Machine;Kind;Clutch;Blade;Blade measured;Reading;u;Read on\n"
    "1;Push;walk-behind rotary mower;none;22;corner to corner;3400;5;2026-10-01\n"
    "2;Rocket;rocket;none;22;corner to corner;;;\n"
)


@pytest.mark.parametrize("language", ["en", "de"])
def test_a_fleet_of_sheets_and_tables(tmp_path, language):
    table, then = tmp_path / "fleet.csv", tmp_path / "then.csv"
    table.write_text(TABLE)
    places, words = [table, *SHEETS[:2]], ("--today", "2026-11-30", "--language", language)
    found = snath.fleet(places, today="2026-11-30", language=language)
    assert data(found) == printed("fleet", *places, *words, codes=(2,))
    # By hand: 19,000 ft/min over pi times 22 in is 3,298.8; 3,400 rpm is over it by 20 times its doubt.
    assert (found.rows[0].ceiling_rpm, found.rows[0].over, found.over) == (3298, True, 1)
    assert [(one.row, one.column, one.field) for one in found.faults] == [(3, "C", "kind")]
    printed("fleet", *places, "--out", then, codes=(2,))  # a fault of the table is told by 2
    again = snath.fleet(places, before=then, today="2026-11-30", language=language)
    assert data(again) == printed("fleet", *places, "--before", then, *words, codes=(2,))
    assert snath.fleet(places, before=found, today="2026-11-30", language=language).moved == again.moved


def test_a_fleet_of_sheets_and_rows_that_are_in_hand():
    sheets = [snath.read_sheet(path) for path in SHEETS[:3]]
    by_file = snath.fleet(SHEETS[:3]).to_dict()["rows"]
    in_hand = snath.fleet(sheets).to_dict()["rows"]
    assert [row | {"place": ""} for row in in_hand] == [row | {"place": ""} for row in by_file]
    head, *lines = (line.split(";") for line in TABLE.splitlines())
    typed = [dict(zip(head, line, strict=True)) for line in lines]
    as_numbers = [
        row | {"Number": int(row["Number"]), "Blade": 22.0, "Reading": float(row["Reading"] or "nan")}
        for row in typed
    ]
    for rows in (typed, as_numbers, Frame(head, lines), OtherFrame(head, lines)):
        found = snath.fleet(rows)
        first = found.rows[0]
        assert (first.ceiling_rpm, first.number, first.read_on) == (3298, "1", "2026-10-01")
        assert [(one.row, one.column) for one in found.faults] == [(3, "C")]


class Frame:
    """What is asked of a table of pandas (its own documentation: `columns` and `itertuples`)."""

    def __init__(self, columns, rows) -> None:
        self.columns, self._rows = columns, rows

    def itertuples(self, index=True):
        assert index is False
        return iter(self._rows)


class OtherFrame:
    """What is asked of a table of polars (its own documentation: `columns` and `iter_rows`)."""

    def __init__(self, columns, rows) -> None:
        self.columns, self._rows = columns, rows

    def iter_rows(self):
        return iter(self._rows)


def test_every_answer_gives_its_rows_as_a_table(monkeypatch):
    monkeypatch.setitem(
        sys.modules, "pandas", SimpleNamespace(DataFrame=list)
    )  # takes rows, as the real one does
    machine = snath.read_sheet(SHEETS[0])
    job = snath.work(JOBS[0])
    answers = [snath.limit("22 in"), snath.window(machine), snath.judge(machine, "3,000 rpm", u="5 rpm"), job]
    rows = [answer.to_pandas() for answer in (*answers, snath.fleet(SHEETS[:2]), snath.rule_book())]
    assert [len(one) for one in rows[:2]] == [1, len(answers[1].members)]
    assert len(rows[4]) == 2
    assert all(isinstance(row, dict) for one in rows for row in one)
    assert rows[1] == answers[1].to_dict()["members"]


def test_a_sheet_with_decimal_commas_it_does_not_state_is_read_with_the_mark_that_was_asked_for(tmp_path):
    text = Path("examples/metrisch.toml").read_text("utf-8")
    sheet = tmp_path / "ohne.toml"
    sheet.write_text("\n".join(line for line in text.splitlines() if not line.startswith("decimal_mark")))
    stated = snath.fleet("examples/metrisch.toml").rows[0].ceiling_rpm
    assert stated is not None
    assert snath.fleet(sheet, decimal_mark=",").rows[0].ceiling_rpm == stated


def test_a_fault_is_the_one_the_command_prints():
    done = CliRunner().invoke(main, ["limit", "--blade", "22", "--json"])
    with pytest.raises(snath.InputError) as fault:
        snath.limit("22")
    assert fault.value.to_dict() == json.loads(done.output)
