"""Copy what lists and searches need out of a saved version's texts, never worked out again here."""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Literal

from snath.decisions.job.schema import DIGITS
from snath.decisions.machine.parts import CRANKSHAFT

TouchKind = Literal["rule", "instrument"]


@dataclass(frozen=True, slots=True)
class Facts:
    """One line of a list of jobs, in SI; None where the version does not say."""

    verdict: str
    as_found_rev_s: float | None
    as_left_rev_s: float | None
    ceiling_rev_s: float | None
    target_rev_s: float | None


def facts_of(job_json: str, result_json: str) -> Facts:
    """The figures of one version."""
    job, result = _object(job_json), _object(result_json)
    window = _part(result, "window")
    return Facts(
        verdict=_word(result),
        as_found_rev_s=_speed(_part(job, "as_found")),
        as_left_rev_s=_speed(_part(job, "as_left")),
        ceiling_rev_s=_number(window.get("ceiling")),
        target_rev_s=_number(window.get("target")),
    )


def as_worked_out(kept: float) -> float:
    """The speed of which a version keeps nine digits. [rev/s]

    3,800 rpm are kept as 63.3333333, a little less: what is round in rpm and has the same digits was meant.
    """
    in_rpm = round(kept * 60, 4) / 60
    return in_rpm if float(f"{in_rpm:.{DIGITS}g}") == kept else kept


def _word(result: dict[str, Any]) -> str:
    """The job's word; a version kept before jobs had one goes by its readings, as it was shown then."""
    stands = _part(result, "stands") or (
        _part(_part(result, "as_left"), "stands") or _part(_part(result, "as_found"), "stands")
    )
    return str(stands.get("word") or "")[:20]


def touches_of(job_json: str) -> set[tuple[TouchKind, str]]:
    """Every rule and every instrument this version names."""
    return set(_touches(_object(job_json)))


def _touches(job: dict[str, Any]) -> Iterator[tuple[TouchKind, str]]:
    for rule in _rows(job, "rules"):
        yield "rule", str(rule.get("id", ""))[:80]
    for instrument in _rows(job, "instruments"):
        yield "instrument", str(instrument.get("id", ""))[:80]
    for stage in ("as_found", "as_left"):
        for reading in _rows(_part(job, stage), "readings"):
            if reading.get("instrument"):
                yield "instrument", str(reading["instrument"])[:80]


def _speed(stage: dict[str, Any]) -> float | None:
    """The last decided speed of the crankshaft in a stage that was not withdrawn."""
    for reading in reversed(list(_rows(stage, "readings"))):
        if reading.get("decided") and not reading.get("withdrawn") and reading.get("shaft") == CRANKSHAFT:
            return _number(_part(reading, "value").get("value"))
    return None


def _object(text: str) -> dict[str, Any]:
    try:
        data = json.loads(text)
    except ValueError:  # a damaged version tells nothing; the chain of hashes names it
        return {}
    return data if isinstance(data, dict) else {}


def _part(data: dict[str, Any], key: str) -> dict[str, Any]:
    part = data.get(key)
    return part if isinstance(part, dict) else {}


def _rows(data: dict[str, Any], key: str) -> Iterator[dict[str, Any]]:
    rows = data.get(key)
    return (row for row in rows if isinstance(row, dict)) if isinstance(rows, list) else iter(())


def _number(value: Any) -> float | None:
    return float(value) if isinstance(value, int | float) and not isinstance(value, bool) else None
