"""Refuse what was given to a function of `snath` in plain words, naming the field and what would do."""

from collections.abc import Callable, Iterable, Sequence
from functools import wraps
from operator import index
from typing import Any, ParamSpec, TypeVar

from snath.decisions.machine.condition_words import SPOKEN, condition_of
from snath.decisions.machine.parts import Condition
from snath.quantities.errors import InputError as Fault
from snath.quantities.errors import InputErrors as Faults
from snath.quantities.message import Message
from snath.quantities.numbers import DecimalMark
from snath.quantities.words import one_of_words
from snath.rules.scope import MARKETS
from snath.shop.answers.facts import Fact, fact
from snath.words.render import Locale, locale_for, say, say_fault
from snath.words.tables import LANGUAGES

P = ParamSpec("P")
R = TypeVar("R")
MARKS: dict[str, DecimalMark] = {".": ".", ",": ","}


class InputError(ValueError):
    """Something that was given cannot be used as it is.

    Attributes
    ----------
    field : str
        What it was given for: a parameter, or a place in a sheet with its line.
    given : str
        What was given, shortened.
    allowed : Fact
        What would do, as the end of the sentence "field = given: ..."; its `code` tells it to a program.
    faults : tuple of InputError
        Every fault that was found, where there are several; `field`, `given` and `allowed` are the first one's.

    Examples
    --------
    >>> try:
    ...     snath.limit("22")
    ... except snath.InputError as fault:
    ...     print(fault.field, fault.given)
    blade 22
    """

    def __init__(
        self, field: str, given: str, allowed: Fact, faults: tuple["InputError", ...], text: str
    ) -> None:
        super().__init__(text)
        self.field, self.given, self.allowed = field, given, allowed
        self.faults = faults or (self,)

    def __reduce__(self) -> tuple[Any, ...]:
        more = () if self.faults == (self,) else self.faults
        return InputError, (self.field, self.given, self.allowed, more, str(self))

    def to_dict(self) -> dict[str, Any]:
        """As a command prints it with `--json`."""
        return {"errors": [_data(fault) for fault in self.faults]}


def _data(fault: InputError) -> dict[str, Any]:
    told = fault.allowed.data
    allowed = told.pop("text")
    return {"field": fault.field, "given": fault.given, **told, "allowed": allowed}


def plainly(function: Callable[P, R]) -> Callable[P, R]:
    """Let a function refuse in the language it was asked in; the traceback ends where it was called."""

    @wraps(function)
    def asked(*args: P.args, **kwargs: P.kwargs) -> R:
        try:
            return function(*args, **kwargs)
        except (Fault, Faults) as found:
            told = _told(found.faults, kwargs.get("language"))
        raise told

    return asked


def _told(faults: tuple[Fault, ...], language: object) -> InputError:
    locale = locale_for(language if isinstance(language, str) else "en")
    each = tuple(_one(fault, locale) for fault in faults)
    if len(each) == 1:
        return each[0]
    first = each[0]
    return InputError(first.field, first.given, first.allowed, each, "\n".join(map(str, each)))


def _one(fault: Fault, locale: Locale) -> InputError:
    allowed = fact(fault.allowed, locale)
    return InputError(fault.field, say(fault.given, locale), allowed, (), say_fault(fault, locale))


def one_of(field: str, given: Any, words: Sequence[str]) -> Any:
    """The word, whatever its case; refused where it is none of these."""
    known = {word.lower(): word for word in words}
    if not isinstance(given, str) or given.lower() not in known:
        raise Fault(field, given, one_of_words(words, given))
    return known[given.lower()]


def text_of(field: str, given: Any) -> str:
    """The text; refused where it is none."""
    if not isinstance(given, str):
        raise Fault(field, given, Message("sheet.text"))
    return given


def language_of(given: Any) -> Locale:
    """How a reader of one of our languages reads."""
    return locale_for(one_of("language", given, LANGUAGES))


def condition_named(given: Any) -> Condition:
    """The condition that is meant, by any word people have for it; refused where it is none."""
    found = condition_of(text_of("condition", given))
    return found or condition_of(one_of("condition", given, SPOKEN)) or "blades in air"


def market_of(given: Any) -> str:
    """The market, empty where none was named."""
    return (
        ""
        if given is None or (isinstance(given, str) and not given)
        else str(one_of("market", given, MARKETS))
    )


def mark_of(given: Any) -> DecimalMark | None:
    """How numbers are written, None where nobody said."""
    return None if given is None else MARKS[one_of("decimal_mark", given, list(MARKS))]


def whole_of(field: str, given: Any, most: int | None, allowed: Message) -> int:
    """A whole number from 1 on, whichever library counted it; refused where it is none."""
    try:
        number = 0 if isinstance(given, bool) else index(given)
    except TypeError:
        number = 0
    if number < 1 or (most is not None and number > most):
        raise Fault(field, given, allowed)
    return number


def one_by_one(field: str, given: Iterable[Any]) -> tuple[Any, ...]:
    """What stands in it, each by itself; refused where there is nothing."""
    try:
        several = tuple(given)
    except TypeError:  # an array of no dimension says that it can be gone through, and cannot
        several = (given,)
    if not several:
        raise Fault(field, "nothing", Message("fault.needed"))
    return several
