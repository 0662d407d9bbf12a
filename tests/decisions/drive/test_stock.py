import pytest

from snath.decisions.drive.bore import bore_of
from snath.decisions.drive.stock_csv import read_stock
from snath.quantities.message import Message
from snath.words.render import ENGLISH, say
from tests.told import refused

IN = 0.0254
SHEAVES = """number,section,outside,datum,offset,bore,make,price,part
1,A,3 1/4 in,,,1 in key,cast,14.20,
2,A,,3.00 in,,25.4 mm keyed,,9.50,X-1
"""


def test_outside_and_stamped_datum_mean_the_same_sheave():
    # Published: Machinery's Handbook, 31st ed., Table 9: an A groove's datum lies 0.250 in inside, so 3.00 is 3.25.
    one, other = read_stock(sheaves=SHEAVES, belts="").sheaves
    assert one.outside == pytest.approx(other.outside)
    assert one.bore == other.bore
    assert (one.cast, other.cast) == (True, False)
    assert (other.price, other.part) == (9.5, "X-1")


BAD_ROWS = [
    ("7,Q,4 in,,,1 in key,,1,", "section = Q: must be one of A"),
    ("7,A,4,,,1 in key,,1,", "the unit is missing"),
    ("7,A,4 in,3 3/4 in,,1 in key,,1,", "outside = both: give the outside diameter, or the datum"),
    ("7,A,,,,1 in key,,1,", "outside = nothing"),
    ("7,A,40 in,,,1 in key,,,", None),
    ("7,A,400 in,,,1 in key,,1,", "must be at least"),
    ("7,A,4 in,,,1 in square,,1,", "one of round, key, double-D or spline"),
    ("7,A,4 in,,,1 in key,forged,1,", "make = forged: must be stamped or cast"),
    ("7,A,4 in,,,1 in key,,cheap,", "a price as a bare number"),
    ("7,A,4 in,,,1 in key,,-3,", "a price as a bare number"),
    (",A,4 in,,,1 in key,,1,", "number = nothing: must be given"),
    ("1,A,4 in,,,1 in key,,1,", "number = 1: stands on line 2 already"),
    ("7,4L,4 in,,,1 in key,,1,", "no page tells how deep the belt sits in this groove: give offset"),
    ("7,A,4 in,,,1 in key,,1,,,,", "has 12 cells for 9 columns"),
]


@pytest.mark.parametrize(("row", "said"), BAD_ROWS)
def test_a_bad_row_is_explained_and_the_good_rows_are_kept(row, said):
    stock = read_stock(sheaves=SHEAVES + row + "\n3,A,5 in,,,1 in key,,1,\n", belts="")
    kept = [s.number for s in stock.sheaves]
    if said is None:
        assert kept == ["1", "2", "7", "3"]
        return
    assert kept == ["1", "2", "3"]
    (fault,) = stock.faults
    assert say(fault.message, ENGLISH).startswith("sheaves line 4: ")
    assert said in say(fault.message, ENGLISH)


def test_a_light_duty_sheave_is_taken_with_its_makers_offset():
    stock = read_stock(sheaves="number,section,outside,offset\n9,4L,4 in,0.2 in\n", belts="")
    assert stock.sheaves[0].offset == pytest.approx(0.2 * IN)


def test_belts_by_designation_and_by_measured_length():
    heads, rows = (
        "number,belt,section,outside_length,aramid,price",
        "1,A42,,,,9\n2,deck belt,A,1800 mm,yes,30",
    )
    table = f"{heads}\n{rows}\n3,B,,,,1\n4,x,A,,,1\n"
    stock = read_stock(sheaves="", belts=table)
    one, special = stock.belts
    # Published: Machinery's Handbook, 31st ed., p. 2575, Table 8: A42 has 43.3 in of datum length.
    assert one.belt.length / IN == pytest.approx(43.3)
    assert (special.belt.line, special.belt.aramid) == ("outside", True)
    assert [f.line for f in stock.faults] == [4, 5]


def test_a_belt_that_is_there_twice_is_remarked_and_not_refused():
    stock = read_stock(sheaves="", belts="number,belt\n1,A42\n2,a 42\n")
    assert len(stock.belts) == 2
    assert stock.remarks == (Message("stock.belt-twice", belt="A42", numbers=("1", "2")),)


def test_headings_that_cannot_be_used_are_refused_with_those_that_can():
    with refused(r"sheaves, line 1 = diameter: columns here are number, count, section"):
        read_stock(sheaves="number,diameter\n1,2\n", belts="")
    with refused("a column number is needed"):
        read_stock(sheaves="section,outside\nA,2 in\n", belts="")


def test_a_decimal_comma_is_read_where_the_shop_writes_one():
    stock = read_stock(
        sheaves="number;x\n".replace(";x", ",outside,section,price") + '1,"101,6 mm",A,"9,50"\n',
        belts="",
        decimal_mark=",",
    )
    assert stock.sheaves[0].outside == pytest.approx(0.1016)
    assert stock.sheaves[0].price == 9.5


@pytest.mark.parametrize(
    ("text", "form"),
    [("1 in key", "25.40 mm key"), ("25.4 mm keyed", "25.40 mm key"), ("17 mm double-d", "17.00 mm double-D"),
     ("15 tooth spline", "15 tooth spline"), ("15t spline", "15 tooth spline"), ("5/8 in", "15.88 mm round"), ("", "")],
)  # fmt: skip
def test_bores_have_one_form(text, form):
    assert bore_of(text) == form
