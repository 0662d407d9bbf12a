import math
import re
import xml.etree.ElementTree as ET

import pytest

from snath.formulas.belts.loop import Pulley
from snath.formulas.belts.route import lay
from snath.formulas.belts.ways import Slot
from snath.shop.pictures.route import route_picture
from snath.shop.pictures.voice import speaking

SVG = "{http://www.w3.org/2000/svg}"
PULLEYS = (
    Pulley("engine", 0, 0, 0.05, body=0.055),
    Pulley("blade <1>", 0.4, 0, 0.1, body=0.105),
    Pulley("idler", 0.2, 0.03, 0.03, back=True, body=0.028),
)


def drawn(**more):
    route = lay(PULLEYS)
    picture = route_picture(route, speaking("en", "mm"), name="pair", belt="A51", clockwise=False, **more)
    return ET.fromstring(picture.svg), picture, route


def circles(root, look):
    return [
        (float(c.get("cx")), float(c.get("cy")), float(c.get("r")))
        for c in root.iter(f"{SVG}circle")
        if c.get("class") == f"pic-{look}"
    ]


def test_rims_and_centres_are_to_one_scale():
    # Property: distances and radii on paper have one ratio to those in the drawing.
    root, _, _ = drawn()
    (ax, ay, ar), (bx, by, br), (ix, iy, ir) = circles(root, "part")
    scale = (bx - ax) / 0.4
    assert (ar, br, ir) == pytest.approx((0.055 * scale, 0.105 * scale, 0.028 * scale), abs=0.02)
    assert by == pytest.approx(ay, abs=0.02)
    assert iy == pytest.approx(ay - 0.03 * scale, abs=0.02)
    assert ix == pytest.approx(ax + 0.2 * scale, abs=0.02)


def test_the_belt_on_paper_is_as_long_as_the_route():
    # Another road: the lengths of the drawn lines and arcs, measured off the path.
    root, _, route = drawn()
    (ax, _, _), (bx, _, _), _ = circles(root, "part")
    scale = (bx - ax) / 0.4
    path = next(p.get("d") for p in root.iter(f"{SVG}path") if p.get("class") == "pic-heavy")
    places = re.findall(r"([MLA])([-0-9. ]+)", path)
    total, here = 0.0, None
    for kind, numbers in places:
        values = [float(n) for n in numbers.split()]
        there = tuple(values[-2:])
        if here is not None:
            chord = ((there[0] - here[0]) ** 2 + (there[1] - here[1]) ** 2) ** 0.5
            if kind == "A":
                half = math.asin(min(1.0, chord / 2 / values[0]))
                total += values[0] * (2 * math.pi - 2 * half if values[3] else 2 * half)
            else:
                total += chord
        here = there
    assert total / scale == pytest.approx(route.length, rel=2e-3)


def test_the_words_say_what_the_drawing_shows():
    _, picture, _ = drawn()
    assert "The belt A51 runs counter-clockwise as drawn" in picture.text
    assert "idler, 56.0 mm outside, turns clockwise" in picture.text
    assert "It runs on the belt's back." in picture.text


def test_before_is_dotted_and_names_are_escaped():
    before = lay((PULLEYS[0], Pulley("blade <1>", 0.4, 0, 0.09, body=0.095), PULLEYS[2]))
    root, picture, _ = drawn(before=before, way=Slot((0.2, 0.08), (0.2, 0.02)))
    assert len(circles(root, "dotted")) == 1
    assert any(p.get("class") == "pic-dashed" for p in root.iter(f"{SVG}polyline"))
    assert "&lt;1&gt;" in picture.svg
    assert "Dotted: as it was" in picture.text


def test_it_speaks_german_with_a_comma():
    picture = route_picture(lay(PULLEYS), speaking("de", "mm"), name="Paar", belt="A51", clockwise=True)
    assert "läuft im Uhrzeigersinn" in picture.text
    assert "56,0 mm" in picture.text
