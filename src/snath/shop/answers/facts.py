"""Say an answer as JSON has it: a fact as its code, its SI values and the reader's sentence, a figure as it stands."""

import math
from collections.abc import Iterable, Mapping
from dataclasses import fields, is_dataclass, replace
from typing import Any

from snath.quantities.errors import InputError
from snath.quantities.message import Message, plain
from snath.quantities.numbers import DecimalMark
from snath.words.render import Locale, say


class Fact(str):
    """A sentence in the reader's language that knows its code and the SI values it says.

    Attributes
    ----------
    code : str
        By which a program tells it from others; empty where only a text was kept.
    values : mapping
        The figures and names in it, in SI; empty where only a text was kept.
    """

    code: str
    values: Mapping[str, Any]

    def __new__(cls, text: str, code: str = "", values: Mapping[str, Any] | None = None) -> "Fact":
        """A sentence, with what is known of it."""
        made = super().__new__(cls, text)
        made.code, made.values = code, values or {}
        return made

    def __reduce__(self) -> tuple[Any, ...]:
        return Fact, (str(self), self.code, self.values)

    @classmethod
    def __get_pydantic_core_schema__(cls, _source: Any, handler: Any) -> Any:
        """Its schema is that of what JSON has."""
        from snath.shop.answers.schema import FactData

        return handler.generate_schema(FactData)

    @property
    def data(self) -> dict[str, Any]:
        """As JSON has it."""
        return {**({"code": self.code, "values": self.values} if self.code else {}), "text": str(self)}


def fact(thing: Message | str, locale: Locale) -> Fact:
    """One message in the reader's language."""
    text = say(thing, locale)
    return Fact(text, **plain(thing)) if isinstance(thing, Message) else Fact(text)


def facts(things: Iterable[Message | str], locale: Locale) -> tuple[Fact, ...]:
    """Messages in the reader's language."""
    return tuple(fact(thing, locale) for thing in things)


def fault_data(fault: InputError, locale: Locale) -> dict[str, Any]:
    """A fault as JSON has it: its field, what was given, and what would do with its code."""
    told = fact(fault.allowed, locale).data
    allowed = told.pop("text")
    return {"field": fault.field, "given": say(fault.given, locale), **told, "allowed": allowed}


def as_data(value: Any) -> Any:
    """An answer as JSON holds it: each field under its alias where it has one, null for what is not finite."""
    if isinstance(value, Fact):
        return value.data
    if isinstance(value, float):
        return value if math.isfinite(value) else None
    if is_dataclass(value):
        return {
            one.metadata.get("serialization_alias", one.name): as_data(getattr(value, one.name))
            for one in fields(value)
        }
    if isinstance(value, Mapping):
        return {key: as_data(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [as_data(item) for item in value]
    return value


def answered_as(
    locale: Locale, *, decimal_mark: DecimalMark = ".", metric: bool = False, asked: DecimalMark | None = None
) -> Locale:
    """A reader's habits with the decimal mark and the lengths a sheet is written in, unless a mark was asked for."""
    if decimal_mark == ",":
        locale = replace(locale, decimal_mark=decimal_mark)
    if metric:
        locale = replace(locale, length="mm")
    return locale if asked is None else replace(locale, decimal_mark=asked)
