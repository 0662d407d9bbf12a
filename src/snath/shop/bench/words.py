"""The core's English sentences, percentages and faults in the language and the habits of whoever reads the page."""

from django.utils.translation import get_language, gettext, pgettext

from snath.quantities.message import Message
from snath.quantities.numbers import DecimalMark, in_mark
from snath.shop.bench.core_words import Tongue, said_in
from snath.shop.bench.liking import Liking
from snath.words.render import Locale, locale_for, say

LEAST_SHARE = 0.001


def said(thing: Message | str, to: Liking | DecimalMark | None = None) -> str:
    """A message or a sentence of the core in the reader's language; figures of text come with a point."""
    tongue = _tongue()
    mark = (to.decimal_mark if isinstance(to, Liking) else to) or tongue.mark
    if isinstance(thing, str):
        return said_in(thing, tongue, mark)
    length = locale_for(tongue.language).length
    if isinstance(to, Liking):
        length = "in" if to.units == "inch" else "mm"
    return say(thing, Locale(tongue.language, mark, length))


def fault_said(thing: Message | str, mark: DecimalMark) -> str:
    """The same for what the core says of an entry: there the figures of text come in the reader's mark already."""
    return said(in_mark(thing, mark) if isinstance(thing, str) else thing, mark)


def _tongue() -> Tongue:
    return Tongue((get_language() or "en").split("-")[0], pgettext)


def percent(share: float, liking: Liking) -> str:
    """A chance as a person says it: never 0 % or 100 % of anything that was measured."""
    if share < LEAST_SHARE:
        return gettext("under %(limit)s") % {"limit": _percent(LEAST_SHARE, liking)}
    if share > 1 - LEAST_SHARE:
        return gettext("over %(limit)s") % {"limit": _percent(1 - LEAST_SHARE, liking)}
    return _percent(share, liking)


def share_words(share: float, liking: Liking) -> str:
    """A small share with as many digits as it has, up to three decimals of a percent."""
    return f"{round(share * 100, 3):g} %".replace(".", liking.decimal_mark)


def _percent(share: float, liking: Liking) -> str:
    return f"{share * 100:.1f} %".replace(".", liking.decimal_mark)
