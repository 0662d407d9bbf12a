"""The voice of a sheet: the pictures' words and the sheets' own, in one language."""

from datetime import date
from typing import Any

from snath.shop.paper.press import WORDS
from snath.shop.pictures.voice import Voice, speaking
from snath.words.render import LengthUnit, locale_for
from snath.words.tables import entry


def paper_voice(language: str = "en", *, length: LengthUnit | None = None) -> Voice:
    """A voice for paper; without `length` what is usual with the language first, and the other beside it."""
    return speaking(language, length or locale_for(language).length, WORDS)


def day(voice: Voice, iso: str) -> str:
    """A date as the reader writes it, with the month in letters or the year first: never two ways to read it."""
    try:
        found = date.fromisoformat(iso[:10])
    except ValueError:
        return iso
    return found.strftime(entry("language.day", voice.language) or "%Y-%m-%d")


def moment(voice: Voice, iso: str) -> str:
    """Date and time to the minute, as far as they are given."""
    clock = iso[11:16]
    return f"{day(voice, iso)} {clock}".strip()


def or_none(voice: Voice, text: str) -> str:
    """The text, or the plain statement that it was not noted."""
    return text.strip() or voice.say("sheet.not-noted")


def pairs(voice: Voice, rows: list[tuple[str, Any]]) -> list[list[str]]:
    """Label and value, label by key."""
    return [[voice.say(key), or_none(voice, str(value))] for key, value in rows]
