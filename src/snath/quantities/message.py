"""Carry a reason as a code and its values, so that no logic, kept job or language hangs on its wording.

How to say something from the core:

1. Say it: ``Message("window.shut", low=Amount(floor, "rotation"), high=Amount(ceiling, "rotation"))``. The code is
   a literal "file.key"; the values are SI figures with their kind, counts and pure numbers, names a person typed,
   ids, other messages, or tuples of these. Never a figure as text, never a piece of a sentence.
2. Word it: one line ``shut = "No speed fits: {low:0 up} is needed, {high:0 down} must not be passed."`` in
   ``words/en/window.toml`` and one in ``words/de/window.toml``. What may stand in the braces is told in
   ``words/render.py``. ``tests/house/test_messages.py`` finds what is missing, unused or lacks a hole.
3. Ask by code: ``reading.why.code == "reading.speed-changes"``; tests assert codes and values.
4. A word out of a fixed list (a condition, a role): ``term("condition", reading.condition)``.

In the shop ``say(message, locale)`` makes text of it; a place where text still comes as well hands both to it.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal, Union

Dimension = Literal[
    "length", "speed", "rotation", "frequency", "torque", "energy", "mass", "time", "angle", "power", "force",
    "temperature", "turns", "wind",
]  # fmt: skip
Kind = Literal[Dimension, "share"]


@dataclass(frozen=True, slots=True)
class Amount:
    """A figure in SI and what it is a figure of; a share is a fraction that is printed in percent."""

    value: float
    kind: Kind


One = Union[Amount, "Message", str, int, float]
Value = One | tuple[One, ...]


@dataclass(frozen=True, init=False, eq=False, repr=False)
class Message:
    """A fact by code, with the values that belong to it.

    It equals no text and does not turn into one by itself: only the words tables say it.

    Attributes
    ----------
    code : str
        "file.key" of its sentence in the words tables.
    values : mapping of str to Amount, Message, str, int, float or a tuple of these
        By the name of the hole they fill.
    """

    __slots__ = ("_hash", "code", "values")
    code: str
    values: Mapping[str, Value]

    def __init__(self, code: str, /, **values: Value) -> None:
        object.__setattr__(self, "code", code)
        object.__setattr__(self, "values", values)

    def with_values(self, values: Mapping[str, Value]) -> "Message":
        """The same fact with these values in place of its own, as where an id is said by its title."""
        return Message(self.code, **values)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Message) and (self.code, self.values) == (other.code, other.values)

    def __hash__(self) -> int:
        known: int | None = getattr(self, "_hash", None)
        if known is None:  # budgets look their lines up by it, a hundred thousand times for one band
            known = hash((self.code, tuple(sorted(self.values.items(), key=lambda item: item[0]))))
            object.__setattr__(self, "_hash", known)
        return known

    def __reduce__(self) -> tuple[Any, ...]:
        return _made, (self.code, dict(self.values))

    def __repr__(self) -> str:
        return f"{self.code}({', '.join(f'{name}={value!r}' for name, value in self.values.items())})"

    def __str__(self) -> str:
        raise TypeError(f"a message is said by snath.words.render.say, not printed: {self!r}")


def _made(code: str, values: Mapping[str, Value]) -> Message:
    return Message(code, **values)


def sent(code: str, values: Mapping[str, Any]) -> Message:
    """A message as another process sent it: its code, and values that are text, numbers or messages so sent."""
    read = {name: sent(**value) if isinstance(value, dict) else value for name, value in values.items()}
    return Message(code, **read)


def term(group: str, word: str) -> Message:
    """A word out of a fixed list of the core, as a message of that group."""
    return Message(f"{group}.{slug(word)}")


_KEYS = str.maketrans({" ": "-", ".": "-", "/": "-", "%": "pc", **dict.fromkeys(",:;'()")})


def slug(word: str) -> str:
    """A word as a key of the tables: "one-sided 95 %" is one-sided-95-pc."""
    return word.translate(_KEYS)


def plain(value: Value) -> Any:
    """A message, or a value of one, as JSON holds it."""
    if isinstance(value, Message):
        return {"code": value.code, "values": {name: plain(one) for name, one in value.values.items()}}
    if isinstance(value, Amount):
        return {"value": value.value, "kind": value.kind}
    return [plain(one) for one in value] if isinstance(value, tuple) else value


def from_plain(data: Any) -> Any:
    """What `plain` made JSON of."""
    if isinstance(data, Mapping):
        if "code" in data:
            return Message(data["code"], **{name: from_plain(one) for name, one in data["values"].items()})
        return Amount(data["value"], data["kind"])
    return tuple(from_plain(one) for one in data) if isinstance(data, list) else data
