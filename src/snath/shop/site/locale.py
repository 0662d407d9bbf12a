"""Give the locale of the request being answered."""

from django.utils.translation import get_language

from snath.words.render import Locale, locale_for


def locale_here() -> Locale:
    """What is usual with the language of the page."""
    return locale_for(get_language() or "en")
