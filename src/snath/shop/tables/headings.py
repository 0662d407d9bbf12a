"""Match a heading to its column: by the shop's own words, in any language, or by what others call it."""

from collections.abc import Callable, Collection, Mapping

from snath.shop.tables.cells import Cells

NOTHING: Mapping[str, Collection[str]] = {}


def plain_heading(head: str) -> str:
    """A heading in small letters with single blanks."""
    return " ".join(head.strip().lower().replace("_", " ").split())


def parted(head: str, units: Collection[str]) -> tuple[str, str]:
    """A heading without the unit in brackets or behind a comma at its end, and that unit; empty where it has none."""
    text = head.strip()
    for opening, closing in (("(", ")"), ("[", "]"), (",", "")):
        at = text.rfind(opening)
        unit = text[at + 1 : len(text) - len(closing)].strip()
        if at >= 0 and text.endswith(closing) and unit in units:
            return text[:at].rstrip(" ,"), unit
    return head, ""


def column_named(
    head: str,
    columns: Collection[str],
    words: Mapping[str, str],
    also: Mapping[str, Collection[str]] = NOTHING,
) -> str:
    """The column a heading speaks of; empty where it is none we know.

    Parameters
    ----------
    head : str
    columns : collection of str
        Those the table may have.
    words : mapping of str to str
        What the shop's own table calls them in any language.
    also : mapping of str to collection of str
        What others call each.
    """
    plain = plain_heading(head)
    core = words.get(plain, plain).replace(" ", "_")
    if core in columns:
        return core
    return next((column for column, known in also.items() if plain in known and column in columns), "")


def each_once(
    table: Cells, named: Callable[[str], str], by_cells: Callable[[list[str], int], str] | None = None
) -> list[str]:
    """What each column holds, by its heading, else by its first cells; no column twice."""
    found: list[str] = []
    for at in range(table.width):
        head = table.head[at] if at < len(table.head) else ""
        column = named(head) if table.head else ""
        if not table.head and by_cells is not None:
            column = by_cells([row[at] for row in table.rows[:8] if at < len(row) and row[at]], at)
        found.append("" if column in found else column)
    return found
