"""Find the line of each key in a TOML text, for messages that point at the place to mend."""

import re
import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Any, NamedTuple

from snath.quantities.errors import InputError, InputErrors
from snath.quantities.message import Message

LARGEST = 100_000  # characters of one file; a long machine sheet has some 5,000
DEEPEST = 8  # tables inside tables

Path = tuple[str | int, ...]

# A key of thousands of parts takes the reader minutes: its time grows with the square of them.
_LONG_KEY = re.compile(r"""(?<![\w"'-])(?:(?:[\w-]++|"[^"\n]*+"|'[^'\n]*+')[ \t]*+\.[ \t]*+){40}""")
_KEY = re.compile(r"""\s*([A-Za-z0-9_-]+|"(?:[^"\\\n]|\\.)*"|'[^'\n]*')\s*""")
_VALUE = re.compile(
    r'"""(?:[^\\]|\\.)*?"{3,5}|\'\'\'.*?\'{3,5}|"(?:[^"\\\n]|\\.)*"|\'[^\'\n]*\'|#[^\n]*|[\[\]{}\n]|[^"\'#\[\]{}\n]+',
    re.DOTALL,
)


class Fault(NamedTuple):
    """Something to mend at one key."""

    path: Path
    given: object
    allowed: Message | str


@dataclass(frozen=True)
class TomlText:
    """The data of a TOML text, and the text it was read from, in which the lines of faults are found."""

    data: dict[str, Any]
    text: str

    @cached_property
    def lines(self) -> dict[Path, int]:
        """The line each statement stands on."""
        return _lines(self.text)

    def line_of(self, path: Path) -> int | None:
        """Line of the key, or of the nearest table around it; None for a key at the top that is missing."""
        while path:
            if path in self.lines:
                return self.lines[path]
            path = path[:-1]
        return None

    def errors(self, faults: Iterable[Fault]) -> InputErrors:
        """The faults as messages that name key and line, in the order of the lines."""
        placed = sorted(
            ((self.line_of(fault.path), fault) for fault in faults), key=lambda pair: pair[0] or 0
        )
        return InputErrors(tuple(_message(line, fault) for line, fault in placed))


def parsed(text: str) -> dict[str, Any]:
    """The data of a TOML text, however hostile.

    Raises
    ------
    tomllib.TOMLDecodeError
        Where it is not TOML, or a key of too many parts, a nesting or a number makes it none for us.
    """
    if _LONG_KEY.search(text):
        raise tomllib.TOMLDecodeError("long-key")
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        raise
    except (ValueError, RecursionError):
        raise tomllib.TOMLDecodeError("out-of-range") from None


def read_toml(text: object, *, field: str) -> TomlText:
    """TOML text with the place of every key.

    Raises
    ------
    InputErrors
        When it is too long, nested too deeply or not TOML.
    """
    if not isinstance(text, str):
        raise InputErrors((InputError(field, text, Message("fault.toml-text")),))
    if len(text) > LARGEST:
        raise InputErrors((InputError(field, text[:200], Message("fault.characters", most=LARGEST)),))
    text = text.removeprefix("\ufeff")  # a mark some editors put in front of every file
    if _LONG_KEY.search(text):
        raise InputErrors((InputError(field, text, Message("fault.toml-deep", most=DEEPEST)),))
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputErrors((_not_toml(field, text, str(error)),)) from None
    except (ValueError, RecursionError):
        raise InputErrors((InputError(field, text, Message("fault.toml-range")),)) from None
    if _depth(data) > DEEPEST:
        raise InputErrors((InputError(field, text, Message("fault.toml-deep", most=DEEPEST)),))
    return TomlText(data, text)


def spoken(path: Path) -> str:
    """A path as people count: ("member", 1, "blade") is member[2].blade."""
    text = ""
    for step in path:
        text += f"[{step + 1}]" if isinstance(step, int) else f".{step}" if text else step
    return text


def _message(line: int | None, fault: Fault) -> InputError:
    allowed = fault.allowed
    if line is not None:
        allowed = Message("fault.at-line", fault=allowed, line=line)
    return InputError(spoken(fault.path), fault.given, allowed)


def _not_toml(field: str, text: str, message: str) -> InputError:
    place = re.search(r"\(at line (\d+)", message)
    line = (
        text.splitlines()[int(place.group(1)) - 1] if place else text.splitlines()[-1] if text.strip() else ""
    )
    return InputError(field, line, Message("fault.not-toml", why=f"{message[0].lower()}{message[1:]}"))


def _depth(value: Any) -> int:
    deepest, waiting = 0, [(value, 1)]
    while waiting:
        item, depth = waiting.pop()
        deepest = max(deepest, depth)
        if depth <= DEEPEST:
            inside = item.values() if isinstance(item, dict) else item if isinstance(item, list) else ()
            waiting.extend((child, depth + 1) for child in inside)
    return deepest


def _lines(text: str) -> dict[Path, int]:
    """Walk the statements of a text that has been found to be TOML."""
    lines: dict[Path, int] = {}
    counts: dict[Path, int] = {}
    table: Path = ()
    at, line, counted = 0, 1, 0
    while at < len(text):
        line, counted = line + text.count("\n", counted, at), at
        if text[at] in " \t\r\n":
            at += 1
        elif text[at] == "#":
            at = _line_end(text, at)
        elif text[at] == "[":
            many = text.startswith("[[", at)
            keys, at = _keys(text, at + (2 if many else 1))
            table = _resolved(keys, counts, new=many)
            lines.setdefault(table, line)
            at = _line_end(text, at)
        else:
            keys, at = _keys(text, at)
            lines.setdefault(table + keys, line)
            at = _value_end(text, at + 1)
    return lines


def _keys(text: str, at: int) -> tuple[tuple[str, ...], int]:
    keys: list[str] = []
    while (match := _KEY.match(text, at)) is not None:
        key = match.group(1)
        keys.append(key[1:-1] if key[0] in "\"'" else key)
        at = match.end()
        if at >= len(text) or text[at] != ".":
            break
        at += 1
    return tuple(keys), at


def _resolved(keys: tuple[str, ...], counts: dict[Path, int], *, new: bool) -> Path:
    path: Path = ()
    for place, key in enumerate(keys):
        path = (*path, key)
        if new and place == len(keys) - 1:
            counts[path] = counts.get(path, 0) + 1
        if path in counts:
            path = (*path, counts[path] - 1)
    return path


def _value_end(text: str, at: int) -> int:
    depth = 0
    while at < len(text):
        match = _VALUE.match(text, at)
        if match is None:
            return _line_end(text, at)
        token = match.group()
        at = match.end()
        if token in "[{":
            depth += 1
        elif token in "]}":
            depth -= 1
        elif token == "\n" and depth <= 0:
            return at
    return at


def _line_end(text: str, at: int) -> int:
    end = text.find("\n", at)
    return len(text) if end < 0 else end + 1


def without_line(allowed: Message | str) -> Message | str:
    """What would do, without the line of a text that nobody has seen."""
    if isinstance(allowed, Message) and allowed.code == "fault.at-line":
        inner = allowed.values["fault"]
        assert isinstance(inner, Message)
        return inner
    return allowed
