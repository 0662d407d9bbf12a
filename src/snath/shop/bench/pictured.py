"""Pictures and paper speak as the person who looks at them."""

from dataclasses import replace

from snath.shop.bench.preferences import Preferences
from snath.shop.paper.voices import paper_voice
from snath.shop.pictures.voice import Voice
from snath.words.tables import LANGUAGES

PICTURE_WIDTH = 340  # a phone's own: letters come out at their size, and a desk makes them larger


def voice_of(preferences: Preferences) -> Voice:
    """The voice of pictures and sheets for this person: language, units, decimal mark."""
    language = preferences.language if preferences.language in LANGUAGES else "en"
    voice = paper_voice(language, length="in" if preferences.units == "inch" else "mm")
    return replace(voice, decimal_mark=preferences.decimal_mark)
