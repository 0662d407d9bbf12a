"""What cannot be used is refused as snath.InputError, naming the field, what was given and what would do."""

import inspect
import pickle
from math import nan

import numpy as np
import pytest

import snath

SHEET = "examples/belt_28_inch.toml"
PULSES = "examples/jobs/tracks/stop_left.csv"
NO_TEXT = (None, 22, nan, ["22 in"], b"22 in", {"a": 1}, True)
CASES = [
    *((f"limit {one!r}", "blade", lambda one=one: snath.limit(one)) for one in (*NO_TEXT, "", "22", "NaN in")),
    *((f"limit {one!r}", "blade", lambda one=one: snath.limit(one)) for one in ("22 rpm", "0 in", "inf in")),
    ("width over length", "width", lambda: snath.limit("22 in", width="23 in")),
    *((f"ratio {one!r}", "ratio", lambda one=one: snath.limit("22 in", ratio=one)) for one in (nan, 0, "x")),
    ("rule", "rule", lambda: snath.limit("22 in", rule="no such row")),
    ("rule of no text", "rule", lambda: snath.limit("22 in", rule=["x"])),
    ("market", "market", lambda: snath.limit("22 in", market="Mars")),
    ("mark", "decimal_mark", lambda: snath.limit("22 in", decimal_mark=";")),
    ("language", "language", lambda: snath.limit("22 in", language="xx")),
    ("rules", "rules", lambda: snath.limit("22 in", rules="no_such_file.toml")),
    *((f"sheet {one!r}", "sheet", lambda one=one: snath.read_sheet(one)) for one in (*NO_TEXT, "", "none.toml")),
    ("folder for a sheet", "sheet", lambda: snath.read_sheet("examples")),
    *((f"machine {one!r}", "machine", lambda one=one: snath.window(one)) for one in (*NO_TEXT, "examples")),
    ("u without unit", "u", lambda: snath.window(SHEET, u="5")),
    ("instrument", "instrument", lambda: snath.window(SHEET, instrument="sundial")),
    ("accuracy", "accuracy", lambda: snath.window(SHEET, accuracy="1 rpm")),
    ("no reading", "readings", lambda: snath.judge(SHEET, [])),
    *((f"reading {one!r}", "reading", lambda one=one: snath.judge(SHEET, one)) for one in (3190, nan, "", "3 in")),
    ("reading in a list", "reading", lambda: snath.judge(SHEET, ["3,190 rpm", None])),
    ("shaft", "at", lambda: snath.judge(SHEET, "3,190 rpm", at="moon")),
    ("condition", "condition", lambda: snath.judge(SHEET, "3,190 rpm", condition="asleep")),
    ("decision", "decision", lambda: snath.judge(SHEET, "3,190 rpm", decision="by coin")),
    ("hunting", "hunting", lambda: snath.judge(SHEET, "3,190 rpm", hunting=40)),
    *((f"job {one!r}", "job", lambda one=one: snath.work(one)) for one in (*NO_TEXT, "", "none.toml", "examples")),
    *((f"read {one!r}", "recording", lambda one=one: snath.read(one)) for one in (*NO_TEXT, "none.csv", "examples")),
    ("a sheet for a recording", "recording", lambda: snath.read(SHEET)),
    ("a recording for a sheet", "machine", lambda: snath.read(PULSES, "none.toml")),
    ("shaft of a recording", "at", lambda: snath.read(PULSES, SHEET, at="moon")),
    ("kind", "kind", lambda: snath.read(PULSES, kind="smell")),
    *((f"per turn {one!r}", "per_turn", lambda one=one: snath.read(PULSES, per_turn=one)) for one in ("x", 0, [1])),
    *((f"clock {one!r}", "clock", lambda one=one: snath.read(PULSES, clock=one)) for one in ("x", -1, nan, [1, 2])),
    *((f"marks {one!r}", "marks", lambda one=one: snath.read(PULSES, marks=one)) for one in ("x", 0, 2.5)),
    ("before the beginning", "from_s", lambda: snath.read(PULSES, from_s=-1)),
    ("an end before the beginning", "from_s", lambda: snath.read(PULSES, from_s=3, to_s=2)),
    ("frames", "capture_rate", lambda: snath.read(PULSES, capture_rate=nan)),
    ("phone", "phone", lambda: snath.read(PULSES, phone=7)),
    *((f"stock {one!r}", "stock", lambda one=one: snath.drive(SHEET, one)) for one in (None, "nowhere", "examples")),
    ("no route beside", "route", lambda: snath.drive("examples/direct_21_inch.toml", "examples/stock")),
    ("no route beside a text", "route", lambda: snath.drive(snath.read_sheet(SHEET), "examples/stock")),
    ("route", "route", lambda: snath.drive(SHEET, "examples/stock", route="none.toml")),
    *((f"most {one!r}", "most", lambda one=one: snath.drive(SHEET, "examples/stock", most=one)) for one in (0, "x")),
    *((f"machines {one!r}", "machines", lambda one=one: snath.fleet(one)) for one in (None, 3, [], [None], b"x")),
    ("a table without headings", "table", lambda: snath.fleet([{"colour": "red"}])),
    ("no such table", "table", lambda: snath.fleet("none.csv")),
    ("today", "today", lambda: snath.fleet(SHEET, today="tomorrow")),
    *((f"months {one!r}", "months", lambda one=one: snath.fleet(SHEET, months=one)) for one in (0, 121, "x", 1.5)),
    *((f"workers {one!r}", "workers", lambda one=one: snath.fleet(SHEET, workers=one)) for one in (0, None)),
    ("unit", "unit", lambda: snath.fleet(SHEET, unit="ell")),
    ("no table of before", "before", lambda: snath.fleet(SHEET, before=SHEET)),
    ("folder for rules", "rules", lambda: snath.rule_book("examples")),
]  # fmt: skip


@pytest.mark.parametrize(("field", "ask"), [case[1:] for case in CASES], ids=[case[0] for case in CASES])
def test_bad_input_names_its_field(field, ask):
    with pytest.raises(snath.InputError) as refused:
        ask()
    fault = refused.value
    assert fault.field == field
    assert fault.allowed.code
    assert str(fault).count("\n") == 0
    assert isinstance(fault, ValueError)
    assert refused.value.__cause__ is None


NO_NAMES = {
    "a zero byte": "a\0b",
    "half a letter": "a\ud800b",
    "too long": "x" * 5000,
}  # no system takes them for a file
TAKING_FILES = {
    "sheet": snath.read_sheet,
    "job": snath.work,
    "recording": snath.read,
    "data": lambda name: snath.read(PULSES, data=name),
    "stock": lambda name: snath.drive("examples/belt_28_inch.toml", name),
    "route": lambda name: snath.drive("examples/belt_28_inch.toml", "examples/stock", route=name),
    "rules": snath.rule_book,
    "table": lambda name: snath.fleet(f"{name}.csv"),
}


@pytest.mark.parametrize("name", NO_NAMES.values(), ids=NO_NAMES)
@pytest.mark.parametrize(("field", "ask"), TAKING_FILES.items(), ids=TAKING_FILES)
def test_a_name_no_file_can_have_is_refused_in_words(field, ask, name):
    with pytest.raises(snath.InputError) as refused:
        ask(name)
    assert refused.value.field == field


def test_no_option_of_a_command_is_named_where_a_route_is_missing():
    for language in ("en", "de"):
        with pytest.raises(snath.InputError) as refused:
            snath.drive("examples/direct_21_inch.toml", "examples/stock", language=language)
        assert "--" not in str(refused.value)


def test_every_fault_of_a_sheet_is_told_at_once_with_its_line():
    with pytest.raises(snath.InputError) as refused:
        snath.read_sheet('name = "x"\nkind = "moon buggy"\n\n[engine]\nstrokes = "four"\n')
    faults = refused.value.faults
    assert len(faults) > 1
    assert [fault.field for fault in faults][:2] == ["kind", "engine.strokes"]
    assert "line 2" in str(faults[0])
    assert refused.value.field == faults[0].field


def test_a_fault_is_said_in_german_and_survives_another_process():
    with pytest.raises(snath.InputError, match="Messer = 22: nötig ist eine Länge") as refused:
        snath.limit("22", language="de")
    back = pickle.loads(pickle.dumps(refused.value))
    assert (str(back), back.field, back.to_dict()) == (str(refused.value), "blade", refused.value.to_dict())


SHEET_READ = snath.read_sheet(SHEET)
ASKED = {  # each name with what does; one argument after the other is then exchanged
    "limit": ("22 in",),
    "read_sheet": (SHEET,),
    "window": (SHEET_READ,),
    "judge": (SHEET_READ, "3,190 rpm"),
    "read": (PULSES,),
    "drive": (SHEET, "examples/stock"),
    "work": ("examples/jobs/walk_behind_left_at_3600.toml",),
    "fleet": ([{"machine": "Push", "kind": "walk-behind rotary mower", "blade": "22 in"}],),
    "rule_book": (),
}
NOTHING_OF_USE = (
    *("x=1" + "y" * 300, "\0", 10**400, 10**5000, nan, 1j, b"22", object(), NotImplemented, print),
    *({}, np.array([]), np.array([1.0, nan]), np.array("22 in"), np.array(["a", "b"])),
)
MAY_BE_ANYTHING = {("read", "at"), ("read", "phone"), ("fleet", "sheet")}  # somebody's own text


@pytest.mark.parametrize("name", ASKED)
def test_whatever_stands_for_an_argument_is_refused_and_named(name):
    function, good = getattr(snath, name), ASKED[name]
    parameters = list(inspect.signature(function).parameters)
    taken = []
    for parameter in parameters:
        for odd in NOTHING_OF_USE:
            if isinstance(odd, str) and (name, parameter) in MAY_BE_ANYTHING:
                continue
            if (name, parameter) == ("drive", "most") and type(odd) is int:
                continue  # that many drives are never reached
            given = {**dict(zip(parameters, good, strict=False)), parameter: odd}
            try:
                function(**given)
                taken.append((parameter, type(odd)))
            except snath.InputError as refused:
                if not (refused.field and refused.allowed):
                    taken.append((parameter, "thin"))
    assert taken == []


def test_numbers_of_other_libraries_are_numbers():
    assert snath.limit("22 in", ratio=np.float64(0.8)).rpm == snath.limit("22 in", ratio=0.8).rpm
    row = {
        "machine": "Push",
        "kind": "walk-behind rotary mower",
        "blade": "22 in",
        "read_on": "2026-01-31",
        "u": "5",
    }
    found = snath.fleet([row | {"reading": "3200"}], months=np.int64(6), today="2026-02-01")
    assert found.rows[0].due_on == "2026-07-31"  # by hand: six months after the reading


def test_what_a_library_of_tables_has_for_a_missing_value_is_an_empty_cell():
    class Missing:
        """As pandas documents its NA: compared with anything, itself too, it is neither true nor false."""

        def __ne__(self, other):
            return self

        def __bool__(self):
            raise TypeError("boolean value of NA is ambiguous")

    row = {"machine": "Push", "kind": "walk-behind rotary mower", "blade": "22 in", "reading": Missing()}
    found = snath.fleet([row | {"blade_measured": "corner to corner"}])
    assert (found.faults, found.rows[0].ceiling_rpm, found.rows[0].due) == ((), 3298, True)


def test_a_folder_of_comparisons_that_is_not_there_is_told():
    with pytest.raises(snath.InputError, match="must be a folder that is there") as refused:
        snath.read(PULSES, data="no such folder")
    assert refused.value.field == "data"
