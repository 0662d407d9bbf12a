"""The core speaks English sentences with figures in them: here they are said in the reader's language.

The core knows no languages. Its sentences are listed, with `{}` where a figure or a name stands, in
`locale/core-sentences.json` (written by scripts/words.py from the core's own source); a sentence is
matched against that list, the catalogue's translation of the pattern is taken, and the figures are put
back. What is not in the list is shown as it is: a rule's source, a machine's name.
"""

import json
import re
from functools import cache
from importlib.resources import files

from django.utils.translation import get_language, gettext, pgettext

from snath.shop.bench.liking import Liking

CONTEXT = "core"
HOLE = "{}"
LEAST_SHARE = 0.001
SPOKEN = (("driver sheave", "driving pulley"), ("driven sheave", "driven pulley"), ("sheave", "pulley"))


def said(sentence: str) -> str:
    """A sentence of the core in the reader's language."""
    if not sentence or (get_language() or "en").startswith("en"):
        return _on_screen(sentence)
    whole = pgettext(CONTEXT, sentence)
    if whole != sentence:
        return whole
    for pattern, expression in _patterns():
        match = expression.fullmatch(sentence)
        if match:
            parts = [said(part) for part in match.groups()]
            return _filled(pgettext(CONTEXT, pattern), parts)
    return sentence


def _on_screen(sentence: str) -> str:
    """The belt maths says sheave; on screens a mechanic reads pulley."""
    for word, spoken in SPOKEN:
        sentence = sentence.replace(word, spoken)
    return sentence


def _filled(translation: str, parts: list[str]) -> str:
    """The parts put back; a translation may reorder them by writing {0}, {1}."""
    return translation.format(*parts)


@cache
def _patterns() -> tuple[tuple[str, re.Pattern[str]], ...]:
    """Sentences with holes, the one with most fixed words first, so that the closest fit wins."""
    listed = json.loads(files("snath.shop.bench").joinpath("locale/core-sentences.json").read_text("utf-8"))
    with_holes = [sentence for sentence in listed if HOLE in sentence]
    with_holes.sort(key=lambda sentence: (-len(sentence.replace(HOLE, "")), sentence))
    return tuple((sentence, _expression(sentence)) for sentence in with_holes)


def _expression(sentence: str) -> re.Pattern[str]:
    return re.compile("(.+?)".join(re.escape(part) for part in sentence.split(HOLE)), re.DOTALL)


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
