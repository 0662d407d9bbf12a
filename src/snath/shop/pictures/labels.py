"""Place several words along one line so that none runs into another."""

from dataclasses import dataclass

from snath.shop.pictures.lettering import fitted, text_width
from snath.shop.pictures.svg import Element, label

GAP = 10.0


@dataclass(frozen=True, slots=True)
class Tag:
    """Words that belong to a place along the line."""

    at: float
    words: str
    bold: bool = False
    look: str = "text"


@dataclass(frozen=True, slots=True)
class Placed:
    """The same words with the row they ended in, counted from the line outwards, and their middle."""

    tag: Tag
    row: int
    middle: float


def placed(tags: list[Tag], width: float, size: float = 14) -> list[Placed]:
    """Each tag as near to its place as the paper lets it, in the first row where it is free."""
    rows: list[list[tuple[float, float]]] = []
    result = []
    for tag in tags:
        half = min(text_width(tag.words, size, bold=tag.bold), width) / 2
        middle = min(max(tag.at, half), width - half)
        left, right = middle - half - GAP / 2, middle + half + GAP / 2
        row = next(
            (i for i, taken in enumerate(rows) if all(right <= a or b <= left for a, b in taken)), len(rows)
        )
        if row == len(rows):
            rows.append([])
        rows[row].append((left, right))
        result.append(Placed(tag, row, middle))
    return result


def drawn(place: Placed, y: float, width: float, size: float = 14) -> Element:
    """The words of one placed tag, centred on its middle."""
    tag = place.tag
    words = fitted(tag.words, width, size, bold=tag.bold)
    return label(place.middle, y, words, look=tag.look, size=size, anchor="middle", bold=tag.bold)
