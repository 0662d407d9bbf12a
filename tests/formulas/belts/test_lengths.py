import pytest

from snath.formulas.belts.lengths import length, line_depth, measured_line, read_name, tolerance
from tests.told import refused

IN = 0.0254

# Published: Machinery's Handbook, 31st ed., p. 2575, Table 8 (ANSI/RMA IP-20, 1988), page read; datum lengths.
# A75 is left out: the table prints 75.3 where its own rule gives 76.3, probably a misprint.
TABLE_8 = {
    "A": {26: 27.3, 31: 32.3, 35: 36.3, 38: 39.3, 42: 43.3, 46: 47.3, 51: 52.3, 60: 61.3, 68: 69.3, 80: 81.3, 90: 91.3,
          120: 121.3},
    "B": {35: 36.8, 38: 39.8, 42: 43.8, 51: 52.8, 60: 61.8, 75: 76.8, 81: 82.8, 97: 98.8, 120: 121.8},
    "C": {51: 53.9, 60: 62.9, 75: 77.9, 81: 83.9, 96: 98.9, 120: 122.9},
    "D": {120: 123.3, 128: 131.3, 144: 147.3, 180: 183.3},
}  # fmt: skip


@pytest.mark.parametrize("section", TABLE_8)
def test_datum_lengths_are_those_of_the_handbook_table(section):
    for number, inches in TABLE_8[section].items():
        assert length(read_name(f"{section}{number}"), "datum").value / IN == pytest.approx(inches, abs=1e-3)


def test_the_rule_ends_at_number_210():
    # Published: same table; B240 is 240.3, no longer number + 1.8.
    with refused("ends at number 210"):
        length(read_name("B240"), "datum")


@pytest.mark.parametrize(("number", "outside"), [(2000, 2030), (2500, 2530), (3150, 3180), (4000, 4030)])
def test_spc_belts_are_30_mm_longer_outside(number, outside):
    # Published: data sheet of the narrow ISO section SPC, read: La = Ld + 30 mm.
    assert length(read_name(f"SPC {number}"), "outside").value * 1000 == pytest.approx(outside, abs=1e-6)
    assert length(read_name(f"SPC{number}"), "datum").value * 1000 == pytest.approx(number, abs=1e-6)


def test_spc_outside_length_is_nearly_its_datum_length_round_a_circle_of_the_offset():
    # Another road: two lines h apart in one loop differ by 2 pi h; h = 4.8 mm (ISO 4183, from memory).
    name = read_name("SPC2000")
    apart = length(name, "outside").value - length(name, "datum").value
    assert apart * 1000 == pytest.approx(2 * 3.14159 * line_depth("SPC") * 1000, abs=0.5)


def test_a_light_duty_number_is_tenths_of_an_inch_outside():
    # Second-hand: a parts dealer's page: 3L 470 has an outside length of 47 in.
    assert length(read_name("3L470"), "outside").value / IN == pytest.approx(47.0)
    assert measured_line("4L") == "outside"
    assert measured_line("A") == "datum"


def test_4l460_is_about_as_long_as_a44_and_not_as_a46():
    # Common practice, no source: outside is inside + 2 in for this size, so 46 in outside is number 44.
    # Another road: A44's datum length and the outside line a quarter of an inch of diameter further out.
    outside = length(read_name("4L460"), "outside").value
    a44 = length(read_name("A44"), "datum").value + 2 * 3.14159 * line_depth("A")
    a46 = length(read_name("A46"), "datum").value + 2 * 3.14159 * line_depth("A")
    assert abs(outside - a44) < 0.1 * IN < abs(outside - a46)


def test_names_are_read_as_shops_write_them():
    assert read_name("spa 1250") == read_name("SPA-1250")
    assert read_name("AX42").section == "AX"
    assert read_name("3vx500").section == "3VX"


@pytest.mark.parametrize("text", ["", "42", "A", "Q42", "A4x", "A123456"])
def test_other_names_are_refused_with_examples(text):
    with refused(r"such as A42, 4L460"):
        read_name(text)


def test_tolerances_grow_with_length_and_are_asked_for_where_no_page_gives_them():
    # Second-hand: Machinery's Handbook, p. 2575, Table 8, text copy: +-0.6 in for the shortest, 0.8 about 105.
    assert tolerance(read_name("A42")).value / IN == pytest.approx(0.6)
    assert tolerance(read_name("B112")).value / IN == pytest.approx(0.8)
    with refused("state one"):
        tolerance(read_name("4L460"))
