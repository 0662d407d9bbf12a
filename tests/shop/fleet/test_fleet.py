"""A table of machines becomes sheets and readings, or faults at their cells; the same rows whoever works them."""

import csv
import json

import pytest
from click.testing import CliRunner

from snath.decisions.machine.sheet import read_sheet
from snath.shop.cli.main import main
from snath.shop.fleet.days import after_months
from snath.shop.fleet.moved import with_moves
from snath.shop.fleet.rows import read_fleet
from snath.shop.fleet.run import counted, work_fleet
from snath.shop.fleet.sheets import cells_in, fleet_of
from snath.shop.fleet.worked import COLUMNS, Asked, Task, row_of
from snath.shop.tables.cells import mark_of
from snath.words.render import ENGLISH, Locale, say
from tests.told import refused, told

ASKED = Asked(today="2026-11-30", market="US")
HEAD = (
    "Number;Machine;Serial;Kind;Clutch;Blade (in);Belt;Engine pulley;Blade pulley;Reading;u;Read on;Every;Due;"
    "Blade measured\n"
)


def fleet(*rows, head=HEAD, **more):
    return read_fleet(cells_in((head + "\n".join(rows)).encode()), **more)


def worked(*rows, **more):
    return work_fleet(fleet(*rows, **more).machines, ASKED)


def test_a_direct_blade_and_one_behind_a_belt_get_their_ceilings():
    direct, belted = worked(
        "1;Push;A1;walk-behind rotary mower;none;22;;;;3,400;5;2026-10-01;;;corner to corner",
        "2;Rider;A2;ride-on rotary mower;by hand;28;;;;3,000;5;2026-10-01;;;corner to corner;20;25",
        head=HEAD.replace("\n", ";engine teeth;blade teeth\n"),
    )
    # By hand: 19,000 ft/min over pi times 22 in (published: 19,000 ft/min is the limit of the US mower standard,
    # 22 in of blade are 5.7596 ft of way); 19,000 / 5.7596 = 3,298.8.
    assert direct["ceiling_rpm"] == 3298
    assert direct["over"] is True
    assert direct["speed_alone"] == "fail"
    # By hand: 28 in is 7.33038 ft of way, 19,000 / 7.33038 = 2,591.95 turns of the blade, over 20/25 3,239.9.
    assert belted["ceiling_rpm"] == 3239
    assert belted["over"] is False
    assert (direct["shut"], belted["shut"]) == (False, False)


@pytest.mark.parametrize(
    ("row", "cell", "code"),
    [
        ("1;Push;A1;lawn rocket;none;22;;;;;;;;", "D", None),
        ("1;=1+1;A1;walk-behind rotary mower;none;22;;;;;;;;", "B", "fleet.formula"),
        ("1;Push;A1;walk-behind rotary mower;none;22 inches long;;;;;;;;", "F", None),
        ("1;Push;A1;walk-behind rotary mower;none;;;;;;;;;", "F", None),
        ("1;Rider;A1;ride-on rotary mower;;28;;;;;;;;", "E", None),
        ("1;Push;A1;walk-behind rotary mower;none;22;A;4;;;;;;", "I", None),
        ("1;Push;A1;walk-behind rotary mower;none;22;ZZ;4;5;;;;;", "G", None),
        ("1;Push;A1;walk-behind rotary mower;none;22;;;;20;5;;;", "J", None),
        ("1;Push;A1;walk-behind rotary mower;none;22;;;;3300;;;;", "J", "fleet.doubt-needed"),
        ("1;Push;A1;walk-behind rotary mower;none;22;;;;;5;;;", "K", "fleet.reading-needed"),
        ("1;Push;A1;walk-behind rotary mower;none;22;;;;3300;5;11/30/2026;;", "L", "fleet.date"),
        ("1;Push;A1;walk-behind rotary mower;none;22;;;;3300;5;2026-02-30;;", "L", "fleet.date"),
        ("1;Push;A1;walk-behind rotary mower;none;22;;;;3300;5;;0;", "M", "fleet.months"),
    ],
)
def test_a_wrong_cell_is_named_by_row_and_column(row, cell, code):
    good = "7;Push;A7;walk-behind rotary mower;none;22;;;;;;;;"
    found = fleet(good, row)
    assert [machine.number for machine in found.machines] == ["7"]
    assert {(one.line, one.column) for one in found.faults} == {(3, cell)}
    if code:
        assert found.faults[0].fault.allowed.code == code


def test_every_fault_of_a_row_is_told_at_once_and_rows_count_blank_lines():
    found = fleet("", ";", "1;Push;A1;rocket;none;22;;;;;;soon;999;")
    assert [(one.line, one.column) for one in found.faults] == [(4, "D"), (4, "L"), (4, "M")]


def test_the_same_machine_twice_is_told_with_its_first_row():
    row = "1;Push;A1;walk-behind rotary mower;none;22;;;;;;;;"
    found = fleet(row, row)
    assert len(found.machines) == 1
    assert found.faults[0].fault.allowed.values["line"] == 2


def test_german_headings_words_and_commas_are_the_same_machine():
    german = fleet(
        "1;Mäher;A1;Sichelmäher, handgeführt;keine;55,88;3.400;5;01.10.2026;corner to corner",
        head="Nummer;Maschine;Seriennummer;Art;Kupplung;Messerlänge (cm);Drehzahl;Unsicherheit;Gemessen am;"
        "Messer gemessen\n",
        decimal_mark=",",
    )
    english = fleet("1;Mäher;A1;walk-behind rotary mower;none;22;;;;3,400;5;2026-10-01;;;corner to corner")
    assert not german.faults
    rows = [work_fleet(one.machines, ASKED)[0] for one in (german, english)]
    assert rows[0]["ceiling_rpm"] == rows[1]["ceiling_rpm"]
    assert rows[0]["read_on"] == "2026-10-01"


def test_a_title_above_the_headings_is_no_machine_and_rows_keep_their_numbers():
    title = "Grünanlagen: Bestand;Stand 2026\n\n"
    head = "Nummer;Bezeichnung;Art;Kupplung;Messer;Messer gemessen\n"
    found = fleet("1;a;Rasentraktor;von Hand;22;corner to corner", "2;b;Rakete;;;", head=title + head)
    assert [one.number for one in found.machines] == ["1"]
    assert [(one.line, one.column) for one in found.faults] == [
        (5, "C")
    ]  # by hand: title 1, head 3, rows 4 and 5
    # What may be a machine is never taken for a title: three cells in a line, and nothing below is a heading.
    with refused("7, Mäher, Rakete: needs a line of headings"):
        fleet("1;a;Aufsitzmäher", head="7;Mäher;Rakete\n" + head)


@pytest.mark.parametrize("word", ["Leerlauf", "im Leerlauf", "Standgas", "idle"])
def test_a_reading_at_idle_proves_nothing_in_german_either(word):
    """What every page calls Leerlauf is the idle; taken for blades in air 1,900 rpm would lie under any limit."""
    row = f"1;a;Sichelmäher, handgeführt;keine;22;corner to corner;1900;5;2026-10-01;{word}"
    found = fleet(
        row, head="Nummer;Maschine;Art;Kupplung;Messer;Messer gemessen;Drehzahl;u;Gelesen am;Zustand\n"
    )
    assert not found.faults
    assert work_fleet(found.machines, ASKED)[0]["speed_alone"] == "undecided"


def test_a_german_table_finds_its_mark_beside_dates_and_is_told_the_words_it_may_type():
    """The dots of 15.02.2025 are no decimal points; what is told of a wrong word is read when it is typed."""
    head = "Nummer;Maschine;Art;Kupplung;Messerlänge (cm);Messer gemessen;Gemessen am;Abstand\n"
    table = (
        head + "1;a;Rasenrakete;keine;55,88;Ecke zu Ecke;15.02.2025;6\n2;b;Aufsitzmäher;keine;7;quer;1.1.25;6"
    )
    cells = cells_in(table.encode())
    assert mark_of(cells.rows, ".") == ","
    found = read_fleet(cells, decimal_mark=",")
    german = Locale("de", ",", "mm")
    first, second = (say(one.message(german), german) for one in found.faults if one.column in "CF")
    assert (
        "Zeile 2, Spalte C (Art): Rasenrakete: muss eines sein von „Sichelmäher, handgeführt“, Aufsitz"
        in first
    )
    assert "mower" not in first + second
    assert "blade_measured" not in second
    for word in first.partition("von ")[2].replace("„Sichelmäher, handgeführt“, ", "").split(", "):
        again = fleet(f"1;a;{word}", head="Nummer;Maschine;Art\n")
        assert "C" not in {one.column for one in again.faults}, word


def test_a_second_column_for_the_same_is_told_and_the_first_is_read(tmp_path):
    table = tmp_path / "m.csv"
    table.write_text(
        "machine;kind;clutch;blade;Blade size;colour\na;walk-behind rotary mower;none;22;21;red\n"
    )
    output = run(table).output
    assert "column Blade size: not read, a column before it holds the same (Blade length)" in output
    assert "column colour: no heading known here" in output


def test_any_place_of_the_sheet_is_a_heading_and_gaps_in_its_lists_close_up():
    found = fleet(
        "Saw;cut-off saw;14;5,400 rpm;3,000",
        head="machine;kind;member[3].wheel.diameter (in);member[3].wheel.speed_max;engine.idle\n",
    )
    machine = read_sheet(found.machines[0].sheet)
    assert [member.kind for member in machine.members] == ["wheel"]
    wrong = fleet(
        "Saw;cut-off saw;14;fast",
        head="machine;kind;member[3].wheel.diameter;member[3].wheel.speed_max\n",
    )
    assert [one.column for one in wrong.faults] == ["D"]


@pytest.mark.parametrize(
    "head",
    [
        "machine;engine.maker_no_load;maker_speed\n",
        "machine;member[1].blade;blade\n",
        "machine;engine.maker_no_load.speed.x;maker_speed\n",
        "machine;coupling[1].direct;coupling[1].direct.x\n",
    ],
)
def test_headings_that_fill_one_another_are_refused_and_never_crash(head):
    found = fleet("Push;22;3000", head=head)
    assert not found.machines
    assert found.faults


def test_what_a_reading_was_taken_with_may_be_named_by_its_kind_or_its_accuracy():
    head = "machine;kind;clutch;blade;reading;instrument;accuracy\n"
    row = "Push;walk-behind rotary mower;none;22;3,700;{}"
    for named in ("optical;", "Optisch;", ";0.1 %", "contact;0.5 %"):
        found = fleet(row.format(named), head=head)
        assert not found.faults, named
        assert work_fleet(found.machines, ASKED)[0]["over"] is True  # 12 % over 19,000 ft/min, by hand
    for wrong, column in (("sundial;", "F"), (";lots", "G")):
        assert [one.column for one in fleet(row.format(wrong), head=head).faults] == [column]


@pytest.mark.parametrize("text", ["", "\n\n", "1;2;3\n4;5;6", "serial;kind\nA;B", "machine\n"])
def test_a_table_without_machines_is_refused_as_a_whole(text):
    with refused("headings|no row"):
        read_fleet(cells_in(text.encode()))


def test_a_heading_nobody_knows_is_told_and_its_column_left_alone():
    found = fleet("Push;walk-behind rotary mower;22;red", head="machine;kind;blade;colour\n")
    assert found.not_read == ("colour",)
    assert len(found.machines) == 1


@pytest.mark.parametrize(
    ("day", "months", "then"),
    [  # By hand.
        ("2026-01-31", 1, "2026-02-28"),
        ("2028-01-31", 1, "2028-02-29"),
        ("2026-11-30", 12, "2027-11-30"),
        ("2026-12-15", 1, "2027-01-15"),
        ("2026-08-31", 6, "2027-02-28"),
    ],
)
def test_months_later(day, months, then):
    assert after_months(day, months) == then


def test_due_by_the_tables_day_by_its_months_by_the_usual_ones_and_at_once_where_never_read():
    rows = worked(
        "1;a;;walk-behind rotary mower;none;22;;;;3000;5;2026-01-01;;2026-11-30",
        "2;a;;walk-behind rotary mower;none;22;;;;3000;5;2026-01-01;6;",
        "3;a;;walk-behind rotary mower;none;22;;;;3000;5;2026-01-01;;",
        "4;a;;walk-behind rotary mower;none;22;;;;;;;;",
        "5;a;;walk-behind rotary mower;none;22;;;;;;;;2026-12-01",
    )
    assert [(row["due_on"], row["due"]) for row in rows] == [
        ("2026-11-30", True), ("2026-07-01", True), ("2027-01-01", False), ("", True), ("2026-12-01", False),
    ]  # fmt: skip
    assert counted(rows).due == 3


def test_what_moved_is_told_by_number_serial_or_place():
    before = worked(
        "1;Push;A1;walk-behind rotary mower;none;22;;;;3280;5;2026-10-01;;;corner to corner",
        ";Push;A2;walk-behind rotary mower;none;21;;;;;;;;",
        "3;Push;A3;walk-behind rotary mower;none;21;;;;;;;;",
    )
    now = worked(
        ";Push;A2;walk-behind rotary mower;none;20;;;;;;;;",
        "1;Push;A1;walk-behind rotary mower;none;23;;;;3280;5;2026-10-01;;;corner to corner",
        "4;Push;A4;walk-behind rotary mower;none;23;;;;;;;;",
    )
    assert [row["moved"] for row in with_moves(now, before)] == ["higher", "lower, word", "new"]


def test_a_fault_of_the_program_becomes_a_row(monkeypatch):
    def broken(*_):
        raise ZeroDivisionError("boom")

    monkeypatch.setattr("snath.shop.fleet.worked.window_alone", broken)
    machine = fleet("1;Push;A1;walk-behind rotary mower;none;22;;;;;;;;").machines[0]
    row = row_of(Task(machine, ASKED))
    assert row["error"] == "not worked, a fault of the program: ZeroDivisionError: boom"
    assert set(row) == set(COLUMNS)


def test_a_folder_gives_its_sheets_and_passes_over_jobs_and_routes():
    from pathlib import Path

    found = fleet_of([Path("examples")])
    assert len(found.machines) == len(list(Path("examples").glob("*.toml"))) + 1  # one more beside the jobs
    assert all("route" in name or "jobs" in name for name in found.skipped)


def run(*words):
    done = CliRunner().invoke(main, ["fleet", *map(str, words)])
    assert done.exit_code in (0, 1, 2), done.output
    return done


@pytest.mark.parametrize("ending", ["csv", "xlsx", "json", "parquet"])
def test_the_command_writes_a_table_in_which_no_cell_runs_and_reads_it_back(tmp_path, ending):
    table = tmp_path / "machines.csv"
    table.write_text(
        "machine;serial;kind;blade;blade measured\n+Push;@A1;walk-behind rotary mower;22;corner to corner\n",
        "utf-8",
    )
    out = tmp_path / f"out.{ending}"
    done = run(table, "--out", out, "--market", "US", "--today", "2026-11-30")
    assert done.exit_code == 0
    assert "nothing here is a pass of a machine" in done.output
    if ending == "csv":
        row = next(csv.DictReader(out.read_text("utf-8").splitlines()))
        assert (row["machine"], row["serial"], row["ceiling_rpm"]) == ("'+Push", "'@A1", "3298")
    if ending in ("csv", "xlsx", "parquet"):
        again = run(table, "--before", out, "--market", "US", "--json")
        assert json.loads(again.stdout)["moved"] == {
            "lower": 0, "higher": 0, "shut": 0, "opened": 0, "word": 0, "new": 0, "gone": 0,
        }  # fmt: skip


def test_a_rule_of_the_shops_own_is_told_as_what_moved(tmp_path):
    table, rules = tmp_path / "m.csv", tmp_path / "ours.toml"
    table.write_text(
        "machine;kind;blade;blade measured\nPush;walk-behind rotary mower;22;corner to corner\n", "utf-8"
    )
    rules.write_text(
        '[[rule]]\nid = "ours"\nlimits = "blade tip speed"\nkind = "surface speed"\nat_most = "80 m/s"\n'
        'scope = { members = ["blade"] }\nsource = "our own word"\n',
        "utf-8",
    )
    run(table, "--out", tmp_path / "then.csv", "--market", "US")
    now = run(table, "--before", tmp_path / "then.csv", "--rules", rules, "--market", "US", "--json")
    data = json.loads(now.stdout)
    assert (data["moved"]["lower"], data["moved"]["higher"]) == (1, 0), now.output
    # By hand: 80 m/s over pi times 0.5588 m is 45.571 a second, 2,734.3 a minute.
    assert data["rows"][0]["ceiling_rpm"] == 2734


def test_a_german_office_is_told_in_german_why_and_what_moved(tmp_path):
    """What may never stand there: an English reason, or the code of what moved."""
    table, out = tmp_path / "m.csv", tmp_path / "then.csv"
    table.write_text(
        "machine;kind;clutch;blade;blade measured;reading;u\n"
        "Push;walk-behind rotary mower;none;22;corner to corner;3000;400\n"
        "Push 2;walk-behind rotary mower;none;22;corner to corner;;\n",
        "utf-8",
    )
    wrong = tmp_path / "sheets"
    wrong.mkdir()
    (wrong / "a.toml").write_text('sheet = 1\nname = "Saw"\n[engine]\nidle = "fast"\n', "utf-8")
    words = ("--market", "US", "--language", "de")
    run(table, "--out", out, *words)
    rows = list(csv.DictReader(out.read_text("utf-8").splitlines()))
    assert rows[0]["speed_alone"] == "undecided"
    assert rows[0]["why"]
    english = run(table, "--json", "--market", "US")
    assert rows[0]["why"] != json.loads(english.stdout)["rows"][0]["why"]
    table.write_text(table.read_text("utf-8").replace(";22;", ";20;"), "utf-8")
    told_german = run(table, wrong, "--before", out, *words).output
    # By hand: 19,000 ft/min over pi times 22 in and 20 in.
    assert "Grenze höher: Push, vorher 3.298 1/min, jetzt 3.628 1/min" in told_german
    assert "higher" not in told_german
    assert "must " not in told_german


def test_wrong_words_to_the_command_are_told(tmp_path):
    for words in (
        [tmp_path / "none.csv"],
        [tmp_path],
        ["examples/direct_21_inch.toml", "--out", tmp_path / "x.doc"],
        ["examples/direct_21_inch.toml", "--out", tmp_path / "no" / "x.csv"],
        ["examples/direct_21_inch.toml", "--before", tmp_path / "none.csv"],
        ["examples/direct_21_inch.toml", "--before", "examples/direct_21_inch.toml"],
        ["examples/direct_21_inch.toml", "--today", "soon"],
    ):
        done = run(*words)
        assert done.exit_code == 2, words
        assert "Traceback" not in done.output
        assert done.output.strip()


def test_what_is_told_of_a_cell_names_all_it_takes_to_mend_it():
    found = fleet("1;Push;A1;walk-behind rotary mower;none;22;;;;3300;5;soon;;", name="f.csv")
    assert found.faults[0].message(ENGLISH).values["sheet"] == "f.csv"
    assert "2026-11-30" in told(found.faults[0].fault)
