"""What was said of a recording, and what reading it gave, as text that another process or a table can hold."""

import hashlib
import json
from dataclasses import asdict, dataclass
from functools import cache
from importlib.metadata import version
from typing import Any

from pydantic import TypeAdapter

from snath.decisions.reading.reading import Reading
from snath.formulas.signals.candidates import Plateau, Track
from snath.quantities.errors import InputError
from snath.quantities.message import Message, from_plain, plain
from snath.shop.media.recording import several_in
from snath.shop.media.request import ReadRequest, ReadResult


@dataclass(frozen=True, slots=True)
class Told:
    """What is kept of a recording that was read: all that is answered of it; speed over time may be one of several."""

    reading: Reading
    track: Track | None = None
    several: bool = False
    seconds: float = 0.0
    notes: tuple[Message, ...] = ()
    begin_s: float = 0.0
    low: float | None = None
    high: float | None = None
    drift: float | None = None


def asked_to_json(asked: ReadRequest) -> str:
    """What was said of it, the same text for the same words."""
    return _json(asdict(asked))


def asked_from_json(text: str) -> ReadRequest:
    """What was said of it."""
    return _adapter(ReadRequest).validate_json(text)  # type: ignore[no-any-return]


def key_of(source: str, asked: str) -> str:
    """A name for one question: the recording by its SHA-256, what was said of it, and this program's version."""
    return hashlib.sha256(f"{version('snath')} {source} {asked}".encode()).hexdigest()


def answer_to_json(found: ReadResult) -> str:
    """What was found."""
    known = ("reading", "track", "seconds", "notes", "begin_s", "low", "high", "drift")
    return _json(asdict(Told(several=several_in(found), **{name: getattr(found, name) for name in known})))


def fault_to_json(fault: InputError) -> str:
    """Why it could not be read."""
    words = {"field": fault.field, "given": plain(fault.given), "allowed": plain(fault.allowed)}
    return _json({"fault": words})


def told_from_json(answer: str) -> Told:
    """What was found.

    Raises
    ------
    InputError
        Where it could not be read, as reading it here would have raised it.
    """
    data = json.loads(answer)
    if "fault" in data:
        fault = data["fault"]
        raise InputError(fault["field"], from_plain(fault["given"]), from_plain(fault["allowed"]))
    return _adapter(Told).validate_json(answer)  # type: ignore[no-any-return]


def renamed(given: Message | str, before: str, name: str) -> Message | str:
    """What was found wrong, under the name its recording was given with."""

    def changed(data: Any) -> Any:
        if isinstance(data, dict):
            return {key: changed(one) for key, one in data.items()}
        if isinstance(data, list):
            return [changed(one) for one in data]
        return data.replace(before, name) if isinstance(data, str) else data

    said: Message | str = from_plain(changed(plain(given)))
    return said


def plateaus_to_json(plateaus: tuple[Plateau, ...]) -> str:
    """The speeds held in a recording."""
    return _json([asdict(one) for one in plateaus])


def plateaus_from_json(text: str) -> tuple[Plateau, ...]:
    """The speeds held in a recording."""
    return _adapter(tuple[Plateau, ...]).validate_json(text)  # type: ignore[no-any-return]


def _json(data: Any) -> str:
    return json.dumps(data, ensure_ascii=False, allow_nan=False, separators=(",", ":"))


@cache
def _adapter(kind: Any) -> TypeAdapter[Any]:
    return TypeAdapter(kind)
