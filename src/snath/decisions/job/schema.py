"""Write and read jobs and results as JSON: the form in which they are kept for years.

Schema 2 keeps reasons as codes and SI values. A job of schema 1 is read as it is: its reasons are text, and stay text.
"""

import json
import math
from dataclasses import asdict, replace
from functools import cache
from typing import Any

from pydantic import ConfigDict, TypeAdapter, ValidationError, with_config

from snath.decisions.job.causes import with_causes
from snath.decisions.job.job import SCHEMA, Job
from snath.decisions.job.result import Result
from snath.quantities.errors import InputError, InputErrors

WORDED = {"working", "notes"}  # the arithmetic as a person would write it, and remarks beside the figures
DIGITS = 9  # significant digits of a result, well inside what differs between platforms


def job_to_json(job: Job) -> str:
    """The job as one JSON object; floats are written so that they read back the same."""
    return json.dumps(asdict(job), ensure_ascii=False, allow_nan=False, separators=(",", ":"))


def job_from_json(text: str) -> Job:
    """The job back from its JSON.

    Raises
    ------
    InputErrors
        Naming every field that is not as this schema has it.
    """
    try:
        return replace(with_causes(_jobs().validate_json(text)), schema=SCHEMA)
    except ValidationError as faults:
        raise InputErrors(tuple(_fault(fault) for fault in faults.errors())) from None


def result_to_json(result: Result) -> str:
    """The result as one JSON object, numbers to 9 digits."""
    return json.dumps(rounded(asdict(result)), ensure_ascii=False, allow_nan=False, separators=(",", ":"))


def differences(then: str, now: str) -> tuple[tuple[str, Any, Any], ...]:
    """Where two results differ: path, value then, value now.

    The program's version, the schema, the wording of a reason kept as text, that of the arithmetic and what is remarked
    beside a window or a job are no differences: every figure and word they speak of stands in a field of its own.
    """
    found: list[tuple[str, Any, Any]] = []
    _compare("", json.loads(then), json.loads(now), found)
    return tuple(row for row in found if row[0] not in ("program", "schema"))


def rounded(value: Any) -> Any:
    """The same data with every float to 9 significant digits, and null for what is not finite."""
    if isinstance(value, float):
        return float(f"{value:.{DIGITS}g}") if math.isfinite(value) else None
    if isinstance(value, dict):
        return {key: rounded(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [rounded(item) for item in value]
    return value


def _compare(path: str, then: Any, now: Any, found: list[tuple[str, Any, Any]]) -> None:
    if isinstance(then, str) and _is_message(now):
        return
    if isinstance(then, dict) and isinstance(now, dict):
        for key in sorted((then.keys() | now.keys()) - WORDED):
            _compare(f"{path}.{key}" if path else key, then.get(key), now.get(key), found)
    elif isinstance(then, list) and isinstance(now, list) and len(then) == len(now):
        for place, (before, after) in enumerate(zip(then, now, strict=True)):
            _compare(f"{path}[{place}]", before, after, found)
    elif then != now and not (then is None and _says_nothing(now)):
        found.append((path, then, now))


def _is_message(value: Any) -> bool:
    return isinstance(value, dict) and value.keys() == {"code", "values"}


def _says_nothing(value: Any) -> bool:
    """A field that a later version added and that holds nothing on this job."""
    if isinstance(value, dict):
        return all(_says_nothing(item) for item in value.values())
    return value in (None, "", [], (), 0)


@cache
def _jobs() -> TypeAdapter[Job]:
    strict = with_config(ConfigDict(extra="forbid"))
    return TypeAdapter(strict(Job))


def _fault(fault: Any) -> InputError:
    place = ".".join(str(part) for part in fault["loc"]) or "job"
    if place == "schema":
        return InputError("schema", fault["input"], f'must be "{SCHEMA}"')
    return InputError(place, fault["input"], fault["msg"])
