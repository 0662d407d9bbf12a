"""How a picture is written down: a small SVG writer that a page and a sheet of paper can both show.

Elements are frozen values, turned into text once, at the end, and escaped there and only there. Nothing
carries an id, so that two pictures may stand on one page; nothing carries a style, so that the strictest
content security policy lets them through. Paper reads the presentation attributes of `palette.LOOKS`;
a page overrides them through the classes of the same names.
"""

import math
from dataclasses import dataclass
from xml.sax.saxutils import escape, quoteattr

from snath.shop.pictures.palette import FONT, LOOKS

TAGS = frozenset(
    (
        "svg",
        "g",
        "rect",
        "line",
        "polyline",
        "polygon",
        "path",
        "circle",
        "ellipse",
        "text",
        "tspan",
        "title",
        "desc",
    )
)
NAMESPACE = "http://www.w3.org/2000/svg"

Attribute = str | float | None  # of an element; None leaves it out


@dataclass(frozen=True, slots=True)
class Element:
    """One element with its attributes and what it holds."""

    tag: str
    attributes: tuple[tuple[str, str], ...] = ()
    children: tuple["Element | str", ...] = ()

    def __str__(self) -> str:
        opening = self.tag + "".join(f" {name}={quoteattr(value)}" for name, value in self.attributes)
        if not self.children:
            return f"<{opening}/>"
        inside = "".join(c if isinstance(c, _Escaped) else str(_escaped(c)) for c in self.children)
        return f"<{opening}>{inside}</{self.tag}>"


class _Escaped(str):
    __slots__ = ()


def _escaped(child: "Element | str") -> "Element | _Escaped":
    if isinstance(child, Element):
        return child
    return _Escaped(escape("".join(c for c in child if c.isprintable() or c == " ")))


def element(tag: str, *children: "Element | str", look: str = "", **attributes: Attribute) -> Element:
    """One element: `stroke_width=2` becomes stroke-width="2", `look` a row of the palette.

    Numbers are rounded for print; attributes that are None are left out; `style` and event handlers are
    a broken promise, not bad input.
    """
    if tag not in TAGS:
        raise ValueError(f"no <{tag}> in our pictures")
    given: dict[str, str] = {}
    if look:
        given["class"] = f"pic-{look}"
        given |= LOOKS[look]
    for name, value in attributes.items():
        if value is None:
            continue
        plain = name.strip("_").replace("_", "-")
        if plain == "style" or plain.startswith("on"):
            raise ValueError(f"{plain}= is not allowed in our pictures")
        given[plain] = value if isinstance(value, str) else number(value)
    return Element(tag, tuple(given.items()), children)


def number(value: float) -> str:
    """A coordinate with at most two decimals, never an exponent, never NaN."""
    if not math.isfinite(value):
        raise ValueError(f"a coordinate must be finite, not {value}")
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def document(
    *children: Element, width: float, height: float, title: str, description: str, kind: str = ""
) -> str:
    """The whole picture; it scales to the width it is given and reads itself aloud by title and text."""
    names = f"pic pic-{kind}" if kind else "pic"
    root = element(
        "svg",
        element("title", title),
        element("desc", description),
        *children,
        xmlns=NAMESPACE,
        viewBox=f"0 0 {number(width)} {number(height)}",
        role="img",
        class_=names,
        font_family=FONT,
        font_size=14,
        fill="currentColor",
    )
    return str(root)


def line(x1: float, y1: float, x2: float, y2: float, *, look: str = "line", **more: Attribute) -> Element:
    """A straight line."""
    return element("line", look=look, x1=x1, y1=y1, x2=x2, y2=y2, **more)


def rectangle(
    x: float, y: float, width: float, height: float, *, look: str = "line", **more: Attribute
) -> Element:
    """A rectangle; a width or height below zero is taken as none."""
    return element("rect", look=look, x=x, y=y, width=max(0.0, width), height=max(0.0, height), **more)


def circle(x: float, y: float, radius: float, *, look: str = "line", **more: Attribute) -> Element:
    """A circle."""
    return element("circle", look=look, cx=x, cy=y, r=radius, **more)


def polyline(points: "list[tuple[float, float]]", *, look: str = "line", **more: Attribute) -> Element:
    """A chain of straight lines."""
    return element("polyline", look=look, points=_points(points), **more)


def polygon(points: "list[tuple[float, float]]", *, look: str = "mark", **more: Attribute) -> Element:
    """A closed shape."""
    return element("polygon", look=look, points=_points(points), **more)


def path(d: str, *, look: str = "line", **more: Attribute) -> Element:
    """Any path, for arcs; build `d` with `number`."""
    return element("path", look=look, d=d, **more)


def group(*children: Element, look: str = "", **more: Attribute) -> Element:
    """Several elements together."""
    return element("g", *children, look=look, **more)


def label(
    x: float,
    y: float,
    words: str,
    *,
    look: str = "text",
    size: float = 14,
    anchor: str = "start",
    bold: bool = False,
) -> Element:
    """Words on one line, `y` at their base line; anchor is start, middle or end."""
    return element(
        "text",
        words,
        look=look,
        x=x,
        y=y,
        font_size=size,
        text_anchor=None if anchor == "start" else anchor,
        font_weight="bold" if bold else None,
    )


def hatched(
    x: float, y: float, width: float, height: float, *, look: str = "hatch", step: float = 6
) -> Element:
    """Diagonal strokes over a rectangle: legible where colour and grey are lost, and needing no id."""
    strokes = []
    start = x - height + step / 2
    while width > 0 and height > 0 and start < x + width:
        left, right = max(start, x), min(start + height, x + width)
        if right > left:
            strokes.append(
                f"M{number(left)} {number(y + height - (left - start))}"
                f"L{number(right)} {number(y + height - (right - start))}"
            )
        start += step
    return path("".join(strokes) or "M0 0", look=look)


def _points(points: "list[tuple[float, float]]") -> str:
    return " ".join(f"{number(x)},{number(y)}" for x, y in points)
