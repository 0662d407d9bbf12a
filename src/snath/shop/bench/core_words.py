"""The core speaks English sentences with figures in them: how is one said in another language?

The core knows no languages. Its sentences are listed, with `{}` where a figure or a name stands, in
`locale/core-sentences.json` (written by scripts/words.py from the core's own source). A sentence is
matched against that list, the catalogue's translation of the pattern is taken, and figures and names are
put back, figures with the reader's decimal mark. What is not in the list is shown as it is: a rule's
source, a machine's name.

Nothing here needs the web framework: pages bring its catalogue, commands read the same one from its file.
"""

import gettext
import json
import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from snath.quantities.numbers import DecimalMark, in_mark
from snath.words.render import mark_of

CONTEXT = "core"
HOLE = "{}"
# The belt maths says sheave; on screens a mechanic reads pulley.
SPOKEN = (("driver sheave", "driving pulley"), ("driven sheave", "driven pulley"), ("sheave", "pulley"))
BEFORE, AFTER = " ;,:", " "  # a piece that begins or ends so is never said alone
UNITS = r"rpm|rev/s|ft/min|m/s|mph|mm|cm|in|ft|Hz|deg|%|s|m|J|N|turns|hp|kW|W|kg|g"
FIGURE = re.compile(rf"(?=.*[0-9])(?:[0-9.,/ ()±≤≥×÷=π−+-]|(?<![A-Za-z])(?:{UNITS})(?![A-Za-z]))++")


@dataclass(frozen=True, slots=True)
class Tongue:
    """A language, and where its words are: `translate` takes a context and an English text."""

    language: str
    translate: Callable[[str, str], str]

    @property
    def mark(self) -> DecimalMark:
        """The decimal mark in which the language's own texts are written."""
        return mark_of(self.language)

    @property
    def is_english(self) -> bool:
        """Whether nothing needs to be translated."""
        return self.language.startswith("en")


@cache
def tongue(language: str) -> Tongue:
    """A language of the program's own catalogue; without one, every text as it is."""
    if language.startswith("en"):
        return Tongue(language, lambda _, text: text)
    catalogue = files("snath.shop.bench").joinpath(f"locale/{language}/LC_MESSAGES/django.mo")
    with catalogue.open("rb") as file:
        words = gettext.GNUTranslations(file)
    return Tongue(language, words.pgettext)


def speaker(language: str) -> Callable[[str], str]:
    """What turns the core's sentences into that language, for paper that is made without a page."""
    to = tongue(language)
    return str if to.is_english else lambda sentence: said_in(sentence, to, to.mark)


def said_in(sentence: str, to: Tongue, mark: DecimalMark) -> str:
    """A sentence of the core in that language; its figures come with a point and go with `mark`."""
    if not sentence or (mark == "." and to.is_english):
        return _on_screen(sentence)
    return _said(sentence, to, mark)


def _said(sentence: str, to: Tongue, mark: DecimalMark) -> str:
    for form in (sentence, in_mark(sentence, ",")):
        if form in _listed():
            return _translated(form, to, mark)
    if FIGURE.fullmatch(sentence):
        return in_mark(sentence, mark).replace("rpm", to.translate("unit", "rpm"))
    for pattern, expression in _patterns():
        match = expression.fullmatch(sentence)
        if match:
            before, *parts, after = (_said(part, to, mark) for part in match.groups())
            return before + _translated(pattern, to, mark).format(*parts) + after
    for joint in ("; ", ", ", ": "):
        if joint in sentence:
            return joint.join(_said(part, to, mark) for part in sentence.split(joint))
    return sentence


def _translated(pattern: str, to: Tongue, mark: DecimalMark) -> str:
    """The catalogue's words for a pattern, in the wanted mark; in English the pattern itself."""
    words = _on_screen(pattern) if to.is_english else to.translate(CONTEXT, pattern)
    return words if mark == to.mark else in_mark(words, ",")


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
