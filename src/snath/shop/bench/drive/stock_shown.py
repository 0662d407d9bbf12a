"""Say columns of a table of stock, and a bore, in the reader's language."""

from django.utils.translation import get_language, pgettext

from snath.shop.bench import show
from snath.shop.bench.preferences import Preferences
from snath.shop.tables.typed import typed
from snath.words.render import locale_for, mark_of


def bore_shown(bore: str, preferences: Preferences) -> str:
    """A bore in the core's one form, as this reader would type it."""
    size, _, last = bore.partition(" mm ")
    if not last:
        return bore
    holds = {
        "key": pgettext("bore", "key"),
        "double-D": pgettext("bore", "double-D"),
        "round": pgettext("bore", "round"),
    }
    return f"{show.length(float(size) / 1000, preferences)} {holds.get(last, last)}"


def headings(columns: tuple[str, ...]) -> str:
    """The line of headings to begin with: parted by semicolons where the comma is in numbers."""
    joint = ";" if mark_of(_language()) == "," else ","
    return joint.join(heading_shown(column) for column in columns) + "\n"


def heading_shown(column: str) -> str:
    """A column as the reader's own table calls it."""
    known = {core: word.capitalize() for word, core in reversed(typed("heading", _language()).items())}
    return known.get(column, column)


def _language() -> str:
    return locale_for(get_language() or "en").language
