"""The core's English sentences, percentages and faults in the language and the habits of whoever reads the page."""

from django.utils.translation import get_language, gettext, pgettext

from snath.quantities.numbers import DecimalMark, in_mark
from snath.shop.bench.core_words import Tongue, said_in
from snath.shop.bench.liking import Liking

LEAST_SHARE = 0.001


def said(sentence: str, mark: DecimalMark | None = None) -> str:
    """A sentence of the core in the reader's language; its figures come with a point and go with `mark`."""
    to = _tongue()
    return said_in(sentence, to, mark or to.mark)


def fault_said(sentence: str, mark: DecimalMark) -> str:
    """The same for what the core says of an entry: there the figures come in the reader's mark already."""
    return said(in_mark(sentence, mark), mark)


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
