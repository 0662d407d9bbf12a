"""How a picture or a sheet speaks to its reader: their words, their decimal mark, inches or millimetres."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from snath.decisions.job.job import Job
from snath.decisions.machine.condition_words import bladed, condition_word
from snath.decisions.machine.parts import Condition
from snath.quantities.errors import InputError
from snath.quantities.message import Message, term
from snath.quantities.numbers import DecimalMark
from snath.words.render import LengthUnit, Locale, mark_of, named, say
from snath.words.tables import LANGUAGES, shown

NAMES_A_RULE = ("rule", "overrides")  # values of a message that hold the id of a row
WORDS = "pictures"


@dataclass(frozen=True, slots=True)
class Voice:
    """Words by key, and how numbers are written.

    Attributes
    ----------
    words : mapping of str to str
        Sentences with {places} for figures, by dotted key.
    language : str
        "en" or "de".
    decimal_mark : str
        Point or comma; the other one parts the thousands.
    length : str
        The unit the reader thinks in, "in" or "mm".

    blades : bool
        Whether the machine spoken of has blades; without them the words under `without-blades` come first.
    titles : mapping of str to str
        What the rows of the rule book the job uses are called, by id: no id is printed.
    """

    words: Mapping[str, str]
    language: str = "en"
    decimal_mark: DecimalMark = "."
    length: LengthUnit = "in"

    blades: bool = True
    titles: Mapping[str, str] = field(default_factory=dict)

    def about(self, job: Job) -> "Voice":
        """The same voice, speaking of this job: its machine, and its rules by their titles."""
        blades = bladed(job.machine)
        own = {} if blades else within(self.words, "without-blades.")
        if job.machine.engine.electric:
            own |= within(self.words, "electric.")
        titles = {rule.id: self.said(rule.source) for rule in job.rules}
        return replace(self, words={**self.words, **own}, blades=blades, titles=titles)

    def condition(self, condition: Condition) -> str:
        """What a condition is called on the machine spoken of."""
        return self.said(term("condition", condition_word(condition, blades=self.blades)))

    def said(self, thing: Message | str) -> str:
        """A message of the core, a name it gives or a data row's text in the reader's language."""
        known = self._titled(thing) if isinstance(thing, Message) else thing
        return say(known, Locale(self.language, self.decimal_mark, self.length))

    def _titled(self, message: Message) -> Message:
        """The message with the titles of rules in place of their ids."""
        values = {
            name: self.titles.get(value, value) if name in NAMES_A_RULE and isinstance(value, str) else value
            for name, value in message.values.items()
        }
        return message.with_values(values)

    def say(self, key: str, **figures: object) -> str:
        """The sentence of that key with its figures in place."""
        return self.words[key].format(**figures)

    def term(self, group: str, word: str) -> str:
        """A word of the trade or a name the core gives, in the reader's language; what a shop typed as it is."""
        if group == "rule" and word in self.titles:
            return self.titles[word]
        known = self.words.get(f"{group}.{word.replace(' ', '-').replace('%', 'pc')}")
        return known or named(word, Locale(self.language, self.decimal_mark, self.length))


def within(words: Mapping[str, str], before: str) -> dict[str, str]:
    """The words whose keys begin so, without that beginning."""
    return {key.removeprefix(before): text for key, text in words.items() if key.startswith(before)}


def speaking(language: str = "en", length: LengthUnit = "in", *names: str) -> Voice:
    """A voice in one of our languages, with the pictures' words and those of further tables."""
    if language not in LANGUAGES:
        raise InputError("language", language, Message("fault.one-of", known=tuple(LANGUAGES)))
    words: dict[str, str] = {}
    for name in (WORDS, *names):
        words |= shown(name, language)
    return Voice(words, language, mark_of(language), length)
