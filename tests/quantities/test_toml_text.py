"""On which line of a TOML text does each key stand?"""

import tomllib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from snath.quantities.errors import InputErrors
from snath.quantities.toml_text import Fault, parsed, read_toml, spoken
from tests.told import refused, told

TEXT = '''# a comment with a [bracket]
name = "a # no comment, [no table]"
"odd.key" = 1

[engine]
firing = [ "0 deg", # the first
           "270 deg" ]
notes = """
[[member]]
not = "a key"
"""
[engine.maker]
speed = '1 ft 9"'

[[member]]
name = "left"
blade.length = "21 in"
[[member]]
name = "right"
[member.blade]
length = "22 in"
table = { a = 1, b = [2,
  3] }
last = 1'''


def test_every_statement_is_found_on_its_line():
    # By hand: the lines of the text above, counted.
    assert read_toml(TEXT, field="sheet").lines == {
        ("name",): 2,
        ("odd.key",): 3,
        ("engine",): 5,
        ("engine", "firing"): 6,
        ("engine", "notes"): 8,
        ("engine", "maker"): 12,
        ("engine", "maker", "speed"): 13,
        ("member", 0): 15,
        ("member", 0, "name"): 16,
        ("member", 0, "blade", "length"): 17,
        ("member", 1): 18,
        ("member", 1, "name"): 19,
        ("member", 1, "blade"): 20,
        ("member", 1, "blade", "length"): 21,
        ("member", 1, "blade", "table"): 22,
        ("member", 1, "blade", "last"): 24,
    }


def test_a_file_of_a_plain_windows_editor_is_read_alike():
    windows = read_toml("\ufeff" + TEXT.replace("\n", "\r\n"), field="sheet")
    assert windows.lines == read_toml(TEXT, field="sheet").lines


def test_a_missing_key_is_told_at_the_table_it_is_missing_from():
    toml = read_toml(TEXT, field="sheet")
    assert toml.line_of(("member", 1, "blade", "width")) == 20
    assert toml.line_of(("nothing",)) is None


def test_faults_are_told_in_the_order_of_their_lines():
    toml = read_toml(TEXT, field="sheet")
    errors = toml.errors([Fault(("member", 1, "blade"), "x", "wrong"), Fault(("name",), "y", "wrong too")])
    assert told(errors) == "name = y: wrong too (line 2)\nmember[2].blade = x: wrong (line 20)"


def test_paths_are_spoken_as_people_count():
    assert spoken(("member", 1, "blade", "arms", 0)) == "member[2].blade.arms[1]"


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("a =", "is not TOML"),
        ("a = 1\na = 2", "is not TOML"),
        ("[engine\n", "is not TOML"),
        ("a = " + "[" * 5_000, "out of range"),
        ("a = " + "9" * 9_000, "out of range"),
        (".".join("a" * 300) + " = 1", "nest at most"),
        ("# " + "x" * 200_000, "at most 100,000 characters"),
        (None, "TOML text"),
        (b"a = 1", "TOML text"),
    ],
)
def test_what_is_not_toml_or_too_much_of_it_is_refused(text, message):
    with refused(message) as caught:
        read_toml(text, field="sheet")
    assert len(str(caught.value)) < 300


@settings(max_examples=300, deadline=None, derandomize=True)
@given(st.text(alphabet="ab=[]{}.\"'#\n\\ 1,", max_size=40))
def test_any_text_is_either_read_or_refused_and_every_line_exists(text):
    # Property: no other exception, and a line number never points past the end.
    try:
        toml = read_toml(text, field="sheet")
    except InputErrors:
        return
    assert toml.data == tomllib.loads(text)
    assert all(1 <= line <= text.count("\n") + 1 for line in toml.lines.values())
    assert {path[0] for path in toml.lines} == set(toml.data)


@pytest.mark.parametrize(
    "text",
    ["a." * 40_000 + "a = 1", "[" + '"a" . ' * 9_000 + "a]", "x = {" + "'a'." * 2_000 + "a = 1}"],
)
def test_a_key_of_thousands_of_parts_is_refused_before_anybody_reads_it(text, monkeypatch):
    # Measured: 2,000 parts took the reader 1.4 s, 16,000 took it 58 s.
    monkeypatch.setattr(tomllib, "loads", lambda *_: pytest.fail("was read"))
    with refused("must nest at most 8 deep"):
        read_toml(text, field="sheet")
    with pytest.raises(tomllib.TOMLDecodeError):
        parsed(text)


def test_words_with_points_between_them_are_no_such_key():
    assert parsed(f'note = "{"1.5 in. " * 60}"')["note"].startswith("1.5 in.")
    assert parsed("a.b.c.d = 1") == {"a": {"b": {"c": {"d": 1}}}}


@pytest.mark.parametrize("text", ["x = " + "[" * 50_000, "x = " + "9" * 9_000, "x = 2026-13-40"])
def test_what_is_out_of_range_is_no_text_of_ours(text):
    with pytest.raises(tomllib.TOMLDecodeError):
        parsed(text)
