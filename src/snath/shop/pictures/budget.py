"""Where does the doubt come from: one bar a cause, the largest on top, and what they make together."""

from dataclasses import replace

from snath.decisions.reading.budget import beside_reading
from snath.decisions.reading.reading import Reading
from snath.quantities.measured import Line, Measured
from snath.shop.pictures import svg
from snath.shop.pictures.figures import digits, rpm, spread_rpm
from snath.shop.pictures.lettering import fitted, text_width
from snath.shop.pictures.picture import Picture
from snath.shop.pictures.svg import Element
from snath.shop.pictures.voice import Voice

ROW = 38.0
BAR = 12.0
SHOWN = 7


def budget_picture(reading: Reading, voice: Voice, *, width: float = 720) -> Picture:
    """The budget of a decided reading as a drawing and in words. Bars are standard uncertainties. [rev/s]"""
    value = reading.value
    assert value is not None
    lines = [replace(line, source=beside_reading(line.source)) for line in value.lines]
    lines.sort(key=lambda line: -abs(line.u))
    lines = [line for line in lines if line.u != 0]
    text = _text(value, lines, voice)
    parts: list[Element] = []
    y = 0.0
    for line in lines[:SHOWN]:
        parts += _row(voice.said(line.source), abs(line.u), value.u, voice, y=y, width=width, look="bar")
        y += ROW
    rest = lines[SHOWN:]
    if rest:
        together = Measured(0.0, tuple(rest)).u
        parts += _row(
            voice.say("budget.more", count=len(rest)), together, value.u, voice, y=y, width=width, look="bar"
        )
        y += ROW
    parts += _row(voice.say("budget.total"), value.u, value.u, voice, y=y, width=width, look="binds")
    drawing = svg.document(
        *parts,
        width=width,
        height=y + ROW,
        title=voice.say("budget.title"),
        description=text,
        kind="budget",
    )
    return Picture(drawing, text)


def share(line: Line, value: Measured) -> float:
    """Share of the variance that one line brings, 0 to 1."""
    return (line.u / value.u) ** 2 if value.u > 0 else 0.0


def _row(
    name: str, u: float, largest: float, voice: Voice, *, y: float, width: float, look: str
) -> list[Element]:
    figure = voice.say("budget.line", value=voice.say("unit.rpm", value=spread_rpm(voice, u)))
    bold = look == "binds"
    room = width - text_width(figure, 14, bold=bold) - 12
    long = width * (u / largest) if largest > 0 else 0.0
    return [
        svg.label(0, y + 14, fitted(name, room, bold=bold), bold=bold),
        svg.label(width, y + 14, figure, anchor="end", bold=bold),
        svg.rectangle(0, y + 19, max(long, 1.0), BAR, look=look),
    ]


def _text(value: Measured, lines: list[Line], voice: Voice) -> str:
    figure = rpm(voice, value.value)
    if not lines:
        return voice.say("budget.text-exact", value=figure)
    u = voice.say("unit.rpm", value=spread_rpm(voice, value.u))
    said = [voice.say("budget.text-total", value=figure, u=u)]
    for line in lines[:SHOWN]:
        each = voice.say("unit.rpm", value=spread_rpm(voice, line.u))
        percent = digits(voice, 100 * share(line, value))
        said.append(voice.say("budget.text-line", source=voice.said(line.source), u=each, percent=percent))
    rest = lines[SHOWN:]
    if rest:
        percent = digits(voice, 100 * sum(share(line, value) for line in rest))
        said.append(voice.say("budget.text-more", count=len(rest), percent=percent))
    return " ".join(said)
