"""Say a message of the core in its reader's language, units and decimal mark.

A sentence of the tables names its values in braces. Behind a colon may stand, parted by blanks: a unit (without one
the reader's own for that kind of figure), a number of decimals, ``up`` or ``down`` (a floor is rounded up, a ceiling
down), ``signed``, ``trim`` (no zeros at the end), ``group`` (parted thousands of a bare number). ``in/16`` prints
inches as a rule shows them, to a sixteenth. ``typed`` leaves a word as somebody has to type it, ``printed`` turns a
figure as its source prints it.

    too-fast = "Lower it by {by:0 up} and it passes."
    sheave = "{name}: at least {size:in up} ({size:mm 0 up})"

Examples inside a sentence are written in the mark of its language; they are turned for a reader with the other one.
Names a person typed come as they are, those the core gives by itself (crankshaft, engine) from ``name.toml``.
A new language is a folder of tables (what pictures, paper and pasted tables say lies in ``shown``, the rule book's
rows in ``texts``), its name in ``tables.LANGUAGES``, and the pages' catalogue, which ``scripts/words.py`` begins.
"""

import re
from dataclasses import dataclass, field
from typing import Literal

from snath.quantities.errors import InputError
from snath.quantities.message import Amount, Message, Value, slug
from snath.quantities.numbers import DecimalMark, in_mark
from snath.quantities.units import Rounding, show, show_inches
from snath.words.tables import LANGUAGES, entry, texts

LengthUnit = Literal["in", "mm"]
COMMA = ("de", "es", "fr", "it", "nl", "pl", "sv", "da", "nb", "fi", "pt", "cs")
ALWAYS = {"rotation": "rpm", "frequency": "Hz", "time": "s", "angle": "deg", "energy": "J", "turns": "turns"}
BY_LENGTH = {
    "in": {
        "length": "in",
        "speed": "ft/min",
        "wind": "mph",
        "torque": "ft lbf",
        "mass": "lb",
        "power": "hp",
        "force": "lbf",
        "temperature": "°F",
    },
    "mm": {
        "length": "mm",
        "speed": "m/s",
        "wind": "m/s",
        "torque": "N m",
        "mass": "kg",
        "power": "kW",
        "force": "N",
        "temperature": "°C",
    },
}


UNITS = r"rpm|rev/s|ft/min|m/s|mph|mm|cm|in|ft|Hz|deg|%|s|m|J|N|turns|hp|kW|W|kg|g"
FIGURE = re.compile(
    rf"(?:(?P<side>at most|at least) )?"
    rf"(?P<figure>(?=.*[0-9])(?:[0-9.,/ ±≤≥−+-]|(?<![A-Za-z])(?:{UNITS})(?![A-Za-z]))++)"
)


def mark_of(language: str) -> DecimalMark:
    """The decimal mark in which a language's own texts are written."""
    return "," if language in COMMA else "."


@dataclass(frozen=True, slots=True)
class Locale:
    """How a reader reads: language, decimal mark (the other one parts the thousands), inches or millimetres."""

    language: str = "en"
    decimal_mark: DecimalMark = "."
    length: LengthUnit = "in"


ENGLISH = Locale()


def locale_for(language: str) -> Locale:
    """What is usual with a language, "de" as well as "de-at": a comma goes with millimetres; English for others."""
    language = re.split("[-_.@]", language)[0]
    language = language if language in LANGUAGES else "en"
    mark = mark_of(language)
    return Locale(language, mark, "mm" if mark == "," else "in")


def say(thing: Message | str, locale: Locale) -> str:
    """The sentence of a message, a name or a data row's text; an unknown code is shown as such."""
    if isinstance(thing, str):
        return _text(thing, locale)
    sentence = entry(thing.code, locale.language)
    if sentence is None:
        return f"[{thing!r}]"
    if locale.decimal_mark != mark_of(locale.language):
        sentence = in_mark(sentence, ",")
    return sentence.format(**{name: _Filled(value, locale) for name, value in thing.values.items()})


def _text(text: str, locale: Locale) -> str:
    """What is kept as text: a name, what a data row says, a bare figure; anything else is shown as it stands."""
    found = entry(f"name.{slug(text)}", locale.language) or texts(locale.language).get(text)
    if found is not None:
        return found if locale.decimal_mark == mark_of(locale.language) else in_mark(found, ",")
    figures = [FIGURE.fullmatch(part) for part in text.split(", ")]
    return ", ".join(_printed(one, locale) for one in figures if one) if all(figures) else text


def _printed(figure: re.Match[str], locale: Locale) -> str:
    """A figure as a source prints it, with the side it bounds and its unit, in the reader's mark."""
    number, _, unit = figure["figure"].rpartition(" ")
    word = entry(f"unit.{unit}", locale.language)
    text = in_mark(f"{number} {word}" if word else figure["figure"], locale.decimal_mark)
    side = entry(f"rules.{slug(figure['side'])}", locale.language) if figure["side"] else ""
    return f"{side} {text}" if side else text


def named(name: str, locale: Locale) -> str:
    """A name in the reader's language where the core gave it by itself, else as it was typed."""
    return entry(f"name.{slug(name)}", locale.language) or name


def say_fault(fault: InputError, locale: Locale) -> str:
    """A fault as one line: its field, what was given, what would do."""
    given = fault.given if isinstance(fault.given, str) else say(fault.given, locale)
    return f"{named(fault.field, locale)} = {given}: {say(fault.allowed, locale)}"


@dataclass(frozen=True, slots=True)
class _Filled:
    """One value as `str.format` asks for it."""

    value: Value
    locale: Locale

    def __format__(self, how: str) -> str:
        return _filled(self.value, _Figures.asked(how), self.locale)


@dataclass(frozen=True, slots=True)
class _Figures:
    """How a figure is printed, as a hole of a sentence has it behind its colon."""

    unit: str = ""
    digits: int | None = None
    round: Rounding = "nearest"
    flags: frozenset[str] = field(default_factory=frozenset)

    @classmethod
    def asked(cls, how: str) -> "_Figures":
        words = how.split()
        flags = frozenset(words) & {"up", "down", "signed", "trim", "group", "typed", "printed"}
        digits = [int(word) for word in words if word.isdigit()]
        unit = " ".join(word for word in words if word not in flags and not word.isdigit())
        side: Rounding = "up" if "up" in flags else "down" if "down" in flags else "nearest"
        return cls(unit, digits[0] if digits else None, side, flags)


def _filled(value: Value, how: _Figures, locale: Locale) -> str:
    if isinstance(value, tuple):
        return ", ".join(_filled(one, how, locale) for one in value)
    if isinstance(value, Message):
        return say(value, locale)
    if isinstance(value, str):
        if "printed" in how.flags:
            return _text(value, locale)
        return value if "typed" in how.flags else named(value, locale)
    if isinstance(value, Amount) and value.kind != "share":
        return _signed(_amount(value, how, locale), value.value, how)
    plain, sign = (value.value * 100, " %") if isinstance(value, Amount) else (value, "")
    return _signed(_number(plain, how, locale) + sign, plain, how)


def _signed(text: str, value: float, how: _Figures) -> str:
    return f"+{text}" if "signed" in how.flags and value >= 0 else text


def _number(value: float, how: _Figures, locale: Locale) -> str:
    text = f"{value:g}" if how.digits is None else f"{value:.{how.digits}f}"
    if "group" in how.flags:
        text = f"{value:,.{how.digits or 0}f}"
    text = text.rstrip("0").rstrip(".") if "trim" in how.flags and "." in text else text
    return text if locale.decimal_mark == "." else text.translate(str.maketrans(".,", ",."))


def _amount(value: Amount, how: _Figures, locale: Locale) -> str:
    unit = how.unit or ALWAYS.get(value.kind) or BY_LENGTH[locale.length][value.kind]
    mark = locale.decimal_mark
    if unit.startswith("in/"):
        return show_inches(value.value, denominator=int(unit[3:]), round=how.round)
    text = show(value.value, unit, digits=how.digits, round=how.round, decimal_mark=mark).removesuffix(
        f" {unit}"
    )
    if "trim" in how.flags and mark in text:
        text = text.rstrip("0").rstrip(mark)
    return f"{text} " + (entry(f"unit.{unit.replace(' ', '-')}", locale.language) or unit)
