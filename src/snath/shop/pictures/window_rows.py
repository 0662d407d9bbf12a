"""One member's bar in the window picture: how far it alone would let the crankshaft run."""

from snath.decisions.machine.parts import CRANKSHAFT
from snath.decisions.reading.reading import Reading
from snath.shop.pictures import svg
from snath.shop.pictures.figures import bare_rpm
from snath.shop.pictures.lettering import fitted, text_width
from snath.shop.pictures.members import MemberRow
from snath.shop.pictures.scale import Scale
from snath.shop.pictures.svg import Element
from snath.shop.pictures.voice import Voice

ROW = 40.0
BAR = 13.0
BAR_TOP = 20.0  # of the bar in its row
SIZES = (14.0, 13.0, 12.0)  # of its letters, the first that fits


def member_bar(
    row: MemberRow, scale: Scale, voice: Voice, *, y: float, width: float, reading: Reading | None
) -> list[Element]:
    """Name and figure on one line, the bar under it; the kindest alternative shows as a dashed end."""
    figure = row_figure(row, voice)
    parts = _words(row, voice, figure, y=y + 14, width=width)
    top = y + BAR_TOP
    left = scale.start if row.floor is None else scale.at(row.floor.engine.value)
    right = scale.end if row.ceiling is None else scale.at(row.ceiling.engine.value)
    parts.append(svg.rectangle(left, top, right - left, BAR, look="binds" if row.binds else "bar"))
    kindest = row.kindest
    if kindest is not None and scale.shows(right_value(row)):
        end = scale.at(kindest.engine.value)
        parts.append(svg.rectangle(right, top + 1, end - right, BAR - 2, look="dashed"))
    if row.ceiling is not None and row.ceiling.engine.value > scale.high:
        parts.append(_beyond(scale.end, top))
    if reading is not None and reading.shaft == row.shaft != CRANKSHAFT:
        parts += _read_here(row, scale, reading, top)
    return parts


def _words(row: MemberRow, voice: Voice, figure: str, *, y: float, width: float) -> list[Element]:
    """Name and figure on one line, in smaller letters where they would not fit; cut where even those do not."""
    for size in SIZES:
        room = width - text_width(figure, size, bold=True) - size
        name = row_name(row, voice, room, size)
        if "…" not in name:
            break
    return [
        svg.label(0, y, name, bold=row.binds, size=size),
        svg.label(width, y, figure, anchor="end", bold=True, size=size),
    ]


def row_name(row: MemberRow, voice: Voice, room: float, size: float = SIZES[0]) -> str:
    """What the row is called: the member, its shaft where that is not the crankshaft, what limits it.

    Where room is short the name gives way, never the word that this one limits the machine.
    """
    name = voice.term("member", row.member)
    if row.shaft not in (CRANKSHAFT, row.member):
        name = voice.say("window.row-at", member=name, shaft=voice.term("shaft", row.shaft))
    tail = f" · {voice.say('window.limits-it')}" if row.binds else ""
    return fitted(name, room - text_width(tail, size, bold=True), size, bold=row.binds) + tail


def row_figure(row: MemberRow, voice: Voice) -> str:
    """The member's own limits at the crankshaft."""
    ceiling = bare_rpm(voice, row.ceiling.engine.value, "down") if row.ceiling else ""
    floor = bare_rpm(voice, row.floor.engine.value, "up") if row.floor else ""
    if floor and row.floor_is_loaded:
        floor = voice.say("window.loaded", speed=floor)
    if ceiling and floor:
        return voice.say("window.row-both", low=floor, high=ceiling)
    return (
        voice.say("window.row-value", speed=ceiling)
        if ceiling
        else voice.say("window.row-floor", speed=floor)
    )


def right_value(row: MemberRow) -> float:
    """Where the bar ends, as a speed."""
    return row.ceiling.engine.value if row.ceiling else 0.0


def _beyond(x: float, top: float) -> Element:
    return svg.polygon([(x - 9, top + 2), (x, top + BAR / 2), (x - 9, top + BAR - 2)], look="page")


def _read_here(row: MemberRow, scale: Scale, reading: Reading, top: float) -> list[Element]:
    """A reading taken on the member's own shaft, against the member's own limit."""
    bound = row.ceiling or row.floor
    if reading.value is None or bound is None:
        return []
    x = scale.at(reading.value.value / bound.ratio)
    spread = 2 * reading.value.u / bound.ratio
    left, right = (
        scale.at(reading.value.value / bound.ratio - spread),
        scale.at(reading.value.value / bound.ratio + spread),
    )
    return [
        svg.line(left, top - 2, right, top - 2, look="spread"),
        svg.polygon([(x - 7, top - 6), (x + 7, top - 6), (x, top + 8)], look="reading"),
    ]
