"""The writer: escaped, finite, without ids or styles, and no peak lost."""

import math
import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

from snath.shop.pictures import palette, svg
from snath.shop.pictures.lettering import fitted, text_width
from snath.shop.pictures.palette import LOOKS
from snath.shop.pictures.thinned import decimated


def test_words_from_outside_cannot_become_markup():
    drawing = svg.document(
        svg.label(0, 0, '<script>alert("x")</script> & "more"\x00'),
        width=10,
        height=10,
        title="<b>",
        description="a & b",
    )
    root = ElementTree.fromstring(drawing)
    assert [child.tag.split("}")[1] for child in root] == ["title", "desc", "text"]
    assert root[2].text == '<script>alert("x")</script> & "more"'


def test_an_attribute_cannot_break_out_of_its_quotes():
    drawing = str(svg.element("g", data_name='" onload="x'))
    assert ElementTree.fromstring(drawing).attrib == {"data-name": '" onload="x'}


@pytest.mark.parametrize("name", ["style", "onload", "onclick"])
def test_styles_and_handlers_are_a_broken_promise(name):
    with pytest.raises(ValueError, match=name):
        svg.element("g", **{name: "x"})


def test_a_script_element_does_not_exist_here():
    with pytest.raises(ValueError, match="script"):
        svg.element("script")


@pytest.mark.parametrize(
    ("value", "printed"), [(1.0, "1"), (0.126, "0.13"), (-0.001, "0"), (1e7, "10000000"), (100, "100")]
)
def test_numbers_are_short_and_plain(value, printed):
    assert svg.number(value) == printed


@pytest.mark.parametrize("value", [math.nan, math.inf])
def test_a_coordinate_that_is_no_number_is_a_broken_promise(value):
    with pytest.raises(ValueError, match="finite"):
        svg.number(value)


def test_decimation_keeps_every_peak_the_ends_and_the_order():
    # Property: the one spike and the one dip of a long flat series survive, first and last stay.
    ys = [1.0] * 20_000
    ys[7_777], ys[15_432] = 9.0, -9.0
    xs = tuple(float(i) for i in range(20_000))
    points = decimated(xs, tuple(ys), 100)
    assert len(points) <= 400
    assert (7_777.0, 9.0) in points
    assert (15_432.0, -9.0) in points
    assert points[0] == (0.0, 1.0)
    assert points[-1] == (19_999.0, 1.0)
    assert [x for x, _ in points] == sorted({x for x, _ in points})


def test_a_short_series_is_kept_whole():
    assert decimated((0.0, 1.0), (2.0, 3.0), 100) == [(0.0, 2.0), (1.0, 3.0)]


def test_a_hatch_stays_inside_its_rectangle():
    drawn = dict(svg.hatched(10, 20, 30, 12).attributes)["d"]
    numbers = [float(n) for n in re.findall(r"[\d.]+", drawn)]
    assert min(numbers[0::2]) >= 10
    assert max(numbers[0::2]) <= 40
    assert min(numbers[1::2]) >= 20
    assert max(numbers[1::2]) <= 32


def test_long_words_are_shortened_to_their_room():
    short = fitted("a very long name of a member of a machine", 80)
    assert short.endswith("…")
    assert text_width(short) <= 80


def test_words_are_measured_as_wide_as_helvetica_sets_them_and_little_more():
    # By hand from the AFM of Helvetica, thousandths: N 722 e 556 v 500 e 556 r 333, l 222;
    # of Helvetica-Bold: N 722 e 556 v 556 e 556 r 389.
    assert 26.67 <= text_width("Never", 10) <= 26.67 * 1.05
    assert 27.79 <= text_width("Never", 10, bold=True) <= 27.79 * 1.1
    assert 11.10 <= text_width("lllll", 10) <= 11.10 * 1.05


def test_every_area_and_mark_of_the_palette_has_its_colour_on_pages():
    css = (Path(palette.__file__).parent / "static/pictures/pictures.css").read_text()
    coloured = [name for name, look in LOOKS.items() if any(v.startswith("#") for v in look.values())]
    assert coloured
    for name in coloured:
        assert re.search(rf"\.pic-{name}\b", css), name
