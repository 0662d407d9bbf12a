"""Read the number a text begins with: decimals, groups of three and shop fractions, nothing else."""

import re
from fractions import Fraction
from functools import cache
from typing import Literal

from snath.quantities.errors import InputError
from snath.quantities.message import Message

DecimalMark = Literal[".", ","]

LONGEST = 200  # characters read of anything typed; longer text is refused unread
MOST_DIGITS = 15  # of one number: more than a float holds
FINEST = 128  # denominator of the finest fraction on a rule
NUMBER = Message("fault.number-such-as")

_VULGAR = {
    "¼": "1/4", "½": "1/2", "¾": "3/4", "⅓": "1/3", "⅔": "2/3", "⅕": "1/5", "⅖": "2/5", "⅗": "3/5",
    "⅘": "4/5", "⅙": "1/6", "⅚": "5/6", "⅐": "1/7", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
    "⅑": "1/9", "⅒": "1/10",
}  # fmt: skip
_SAME = str.maketrans(
    {
        **dict.fromkeys("\t\xa0\u2002\u2003\u2007\u2009\u200a\u202f", " "),
        **dict.fromkeys("′’‘ʹ´`", "'"),
        **dict.fromkeys("″“”„ʺ", '"'),
        **dict.fromkeys("‐‑‒–−", "-"),
        "⁄": "/",
        "∕": "/",
        **{sign: f" {fraction}" for sign, fraction in _VULGAR.items()},
    }
)


@cache
def _patterns(mark: DecimalMark) -> tuple[re.Pattern[str], re.Pattern[str], re.Pattern[str]]:
    group = "," if mark == "." else "."
    whole = rf"[1-9][0-9]{{0,2}}(?:{re.escape(group)}[0-9]{{3}})+|[1-9][0-9]{{0,2}}(?: [0-9]{{3}})+|[0-9]+"
    end = r"(?![0-9.,]|/[0-9])"  # never a part of a longer number
    return (
        re.compile(rf"({whole})[ -]([0-9]{{1,3}})/([0-9]{{1,3}}){end}"),
        re.compile(rf"([0-9]{{1,6}})/([0-9]{{1,3}}){end}"),
        re.compile(rf"({whole})?(?:{re.escape(mark)}([0-9]+))?{end}"),
    )


def plain(text: object, *, field: str, allowed: Message) -> str:
    """The text on one line in plain characters, or refused when too long or in foreign digits.

    Raises
    ------
    InputError
        When it is no text, is longer than `LONGEST`, or holds digits other than 0 to 9.
    """
    if not isinstance(text, str):
        raise InputError(field, text, Message("fault.quoted", fault=allowed))
    if len(text) > LONGEST:
        raise InputError(field, text[: LONGEST + 1], Message("fault.too-long", most=LONGEST, fault=allowed))
    line = " ".join(text.translate(_SAME).split(" ")).strip()
    line = re.sub(r" {2,}", " ", line)
    if any(c.isnumeric() and c not in "0123456789⁻¹" for c in line):
        raise InputError(field, text, Message("fault.digits", fault=allowed))
    return line


def leading_number(line: str, *, decimal_mark: DecimalMark) -> tuple[Fraction, str] | None:
    """The number a plain line begins with and the rest of the line; None where it begins with none."""
    mixed, fraction, decimal = _patterns(decimal_mark)
    if match := mixed.match(line):
        whole, above, below = (_digits(part) for part in match.groups())
        if above < below <= FINEST:
            return Fraction(whole) + Fraction(above, below), line[match.end() :].lstrip()
        return None
    if match := fraction.match(line):
        above, below = (_digits(part) for part in match.groups())
        if 0 < below <= FINEST:
            return Fraction(above, below), line[match.end() :].lstrip()
        return None
    match = decimal.match(line)
    if match is None or match.end() == 0:
        return None
    whole_part, decimals = match.group(1) or "0", match.group(2) or ""
    if len(whole_part) + len(decimals) > MOST_DIGITS:
        return None
    value = Fraction(int(_only_digits(whole_part) + decimals), 10 ** len(decimals))
    return value, line[match.end() :].lstrip()


def parse_number(
    text: object,
    *,
    field: str,
    decimal_mark: DecimalMark = ".",
    allowed: Message = NUMBER,
) -> Fraction:
    """A bare number without a unit; a percent sign divides by a hundred.

    Raises
    ------
    InputError
        When the text is anything else.
    """
    line = plain(text, field=field, allowed=allowed)
    found = leading_number(line, decimal_mark=decimal_mark)
    if found is None or found[1] not in ("", "%"):
        raise InputError(field, text, with_mark_hint(allowed, line, decimal_mark))
    return found[0] / 100 if found[1] == "%" else found[0]


def percentage(text: object, *, field: str, decimal_mark: DecimalMark = ".", most: float = 1.0) -> float:
    """A fraction written as a percentage; a bare number would leave open which of the two is meant.

    Raises
    ------
    InputError
        When the text is no percentage, or one over `most`, a fraction.
    """
    allowed = Message("fault.percentage", most=most * 100)
    value = parse_number(text, field=field, decimal_mark=decimal_mark, allowed=allowed)
    if "%" not in str(text) or value > most:
        raise InputError(field, text, allowed)
    return float(value)


def in_mark(example: str, decimal_mark: DecimalMark) -> str:
    """An example written with a point, rewritten for the reader's decimal mark."""
    if decimal_mark == ".":
        return example
    swapped = {".": ",", ",": "."}
    return re.sub(r"(?<=[0-9])[.,](?=[0-9])", lambda match: swapped[match.group()], example)


def with_mark_hint(allowed: Message, line: str, decimal_mark: DecimalMark) -> Message:
    """What would do, with a word on the decimal mark where the other one seems to have been used."""
    other = "," if decimal_mark == "." else "."
    if re.search(rf"[0-9]{re.escape(other)}[0-9]", line):
        return Message("fault.other-mark", fault=allowed, mark=decimal_mark, other=other)
    return allowed


def _digits(text: str) -> int:
    return int(_only_digits(text))


def _only_digits(text: str) -> str:
    return re.sub(r"[^0-9]", "", text)
