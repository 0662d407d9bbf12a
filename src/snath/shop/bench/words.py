"""Say the core's facts and percentages in the language and the habits of whoever reads the page."""

from dataclasses import replace

from django.utils.functional import lazy
from django.utils.translation import get_language

from snath.quantities.message import Message
from snath.quantities.numbers import DecimalMark
from snath.shop.answers.chances import chance
from snath.shop.bench.preferences import Preferences
from snath.words.render import Locale, locale_for, say


def said(thing: Message | str, to: Preferences | DecimalMark | None = None) -> str:
    """A message of the core, a name it gives or a data row's text in the reader's language."""
    return say(thing, reading(to))


said_later = lazy(said, str)


def reading(to: Preferences | DecimalMark | None = None) -> Locale:
    """How whoever asked for the page reads."""
    locale = locale_for(get_language() or "en")
    if isinstance(to, Preferences):
        return Locale(locale.language, to.decimal_mark, "in" if to.units == "inch" else "mm")
    return replace(locale, decimal_mark=to) if to else locale


def percent(share: float, preferences: Preferences) -> str:
    """A chance as a person says it: never 0 % or 100 % of anything that was measured."""
    return said(chance(share), preferences)


def share_words(share: float, preferences: Preferences) -> str:
    """A small share with as many digits as it has, up to three decimals of a percent."""
    return f"{round(share * 100, 3):g} %".replace(".", preferences.decimal_mark)
