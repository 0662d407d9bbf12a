"""The core speaks English sentences with figures in them: here they are said in the reader's language.

The core knows no languages. Its sentences are listed, with `{}` where a figure or a name stands, in
`locale/core-sentences.json` (written by scripts/words.py from the core's own source). A sentence is
matched against that list, the catalogue's translation of the pattern is taken, and figures and names are
put back, figures with the reader's decimal mark. What is not in the list is shown as it is: a rule's
source, a machine's name.
"""

import json
import re
from functools import cache
from importlib.resources import files

from django.utils.translation import get_language, gettext, pgettext

from snath.quantities.numbers import DecimalMark, in_mark
from snath.shop.bench.liking import COMMA_LANGUAGES, Liking

CONTEXT = "core"
HOLE = "{}"
LEAST_SHARE = 0.001
# The belt maths says sheave; on screens a mechanic reads pulley.
SPOKEN = (("driver sheave", "driving pulley"), ("driven sheave", "driven pulley"), ("sheave", "pulley"))
BEFORE, AFTER = " ;,:", " "  # a piece that begins or ends so is never said alone
UNITS = r"rpm|rev/s|ft/min|m/s|mph|mm|cm|in|ft|Hz|deg|%|s|m|J|N|turns"
FIGURE = re.compile(rf"(?=.*[0-9])(?:[0-9.,/ ()±≤≥×÷=π−+-]|(?<![A-Za-z])(?:{UNITS})(?![A-Za-z]))+")


def said(sentence: str, mark: DecimalMark | None = None) -> str:
    """A sentence of the core in the reader's language; its figures come with a point and go with `mark`."""
    wanted = mark or native_mark()
    if not sentence or (wanted == "." and _is_english()):
        return _on_screen(sentence)
    return _said(sentence, wanted)


def fault_said(sentence: str, mark: DecimalMark) -> str:
    """The same for what the core says of an entry: there the figures come in the reader's mark already."""
    return said(in_mark(sentence, mark), mark)


def native_mark() -> DecimalMark:
    """The decimal mark in which the language's own texts are written."""
    return "," if (get_language() or "en").split("-")[0] in COMMA_LANGUAGES else "."


def _is_english() -> bool:
    return (get_language() or "en").startswith("en")


def _said(sentence: str, mark: DecimalMark) -> str:
    for form in (sentence, in_mark(sentence, ",")):
        if form in _listed():
            return _translated(form, mark)
    if FIGURE.fullmatch(sentence):
        return in_mark(sentence, mark).replace("rpm", pgettext("unit", "rpm"))
    for pattern, expression in _patterns():
        match = expression.fullmatch(sentence)
        if match:
            before, *parts, after = (_said(part, mark) for part in match.groups())
            return before + _translated(pattern, mark).format(*parts) + after
    for joint in ("; ", ", ", ": "):
        if joint in sentence:
            return joint.join(_said(part, mark) for part in sentence.split(joint))
    return sentence


def _translated(pattern: str, mark: DecimalMark) -> str:
    """The catalogue's words for a pattern, in the wanted mark; in English the pattern itself."""
    words = _on_screen(pattern) if _is_english() else pgettext(CONTEXT, pattern)
    return words if mark == native_mark() else in_mark(words, ",")


def _on_screen(sentence: str) -> str:
    for word, spoken in SPOKEN:
        sentence = sentence.replace(word, spoken)
    return sentence


@cache
def _listed() -> frozenset[str]:
    text = files("snath.shop.bench").joinpath("locale/core-sentences.json").read_text("utf-8")
    return frozenset(json.loads(text))


@cache
def _patterns() -> tuple[tuple[str, re.Pattern[str]], ...]:
    """Sentences with holes, and pieces that others are put before or after; the closest fit comes first.

    Closest is what has most letters of its own, then fewest holes.
    """
    open_ones = [s for s in _listed() if HOLE in s or s[0] in BEFORE or s[-1] in AFTER]
    open_ones.sort(key=lambda s: (-len(re.sub(r"[{}\s]", "", s)), s.count(HOLE), s))
    return tuple((sentence, _expression(sentence)) for sentence in open_ones)


def _expression(sentence: str) -> re.Pattern[str]:
    """The sentence with a group for each hole, and one each for what may stand before and after it."""
    middle = "(.*?)".join(re.escape(part) for part in sentence.split(HOLE))
    before, after = sentence[0] in BEFORE, sentence[-1] in AFTER
    return re.compile(f"({'.+?' if before else ''}){middle}({'.+' if after else ''})", re.DOTALL)


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
