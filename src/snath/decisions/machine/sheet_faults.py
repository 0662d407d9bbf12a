"""Turn everything that is wrong with a sheet into messages a shop can act on, all at once."""

import difflib
from typing import Any, get_args

from pydantic import BaseModel, ValidationError

from snath.decisions.machine.parts import CRANKSHAFT
from snath.quantities.toml_text import Fault, Path

_WORDS = {
    "string_type": "must be text in quotation marks",
    "string_too_short": "must not be empty",
    "string_too_long": "must be at most {max_length} characters long",
    "int_type": "must be a whole number without quotation marks",
    "bool_type": "must be true or false",
    "list_type": "must be a list in square brackets",
    "too_short": "must have at least {min_length} entries",
    "too_long": "must have at most {max_length} entries",
    "greater_than_equal": "must be at least {ge}",
    "less_than_equal": "must be at most {le}",
    "multiple_of": "must be a multiple of {multiple_of}",
    "model_type": "must be a table",
}  # what pydantic found, in the words of the shop; any other kind keeps pydantic's


def faults_of_shape(error: ValidationError, schema: type[BaseModel]) -> list[Fault]:
    """Every fault found in the tables and keys of the sheet."""
    return [_fault(dict(row), schema) for row in error.errors(include_url=False)]


def _fault(row: dict[str, Any], schema: type[BaseModel]) -> Fault:
    path: Path = tuple(row["loc"])
    context = row.get("ctx", {})
    given = row["input"]
    if row["type"] == "sheet":
        given = given if context["given"] is None else context["given"]
        return Fault((*path, context["key"]) if context["key"] else path, given, context["allowed"])
    if row["type"] == "missing":
        return Fault(path, "nothing", "must be given")
    if row["type"] == "extra_forbidden":
        return Fault(path, given, _unknown(str(path[-1]), _keys_at(schema, path[:-1])))
    if row["type"] == "literal_error":
        return Fault(
            path, given, f"must be {context['expected']}{_nearest_choice(given, context['expected'])}"
        )
    return Fault(path, given, _WORDS.get(row["type"], row["msg"]).format(**context))


def _unknown(key: str, known: list[str]) -> str:
    close = difflib.get_close_matches(key, known, n=1)
    return (
        f"unknown key; did you mean {close[0]}?" if close else f"unknown key; known here: {', '.join(known)}"
    )


def _nearest_choice(given: object, expected: str) -> str:
    words = [word.strip("'") for word in expected.replace(" or ", ", ").split(", ")]
    close = difflib.get_close_matches(str(given)[:60], words, n=1, cutoff=0.4)
    return f"; nearest: {close[0]}" if close else ""


def _keys_at(schema: type[BaseModel], path: Path) -> list[str]:
    """The keys a table may have, found by walking the schema."""
    for step in path:
        if isinstance(step, str):
            inner = _table_in(schema.model_fields[step].annotation)
            if inner is None:
                return []
            schema = inner
    return list(schema.model_fields)


def _table_in(annotation: Any) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    found = (_table_in(inner) for inner in get_args(annotation))
    return next((table for table in found if table is not None), None)


def faults_of_tree(data: dict[str, Any]) -> list[Fault]:
    """What is wrong between shafts: two drivers, orphans, loops, floors behind belts of unstated slip.

    Works on the bare data, so that these are found together with faults inside the tables.
    """
    couplings = [(place, row) for place, row in enumerate(_rows(data.get("coupling")))]
    members = [(place, row) for place, row in enumerate(_rows(data.get("member")))]
    return [
        *_two_drivers(couplings),
        *_orphans(couplings, members),
        *_loops(couplings),
        *_unstated_slip(couplings, members),
        *_same_names(members),
    ]


Rows = list[tuple[int, dict[str, Any]]]


def _rows(rows: Any) -> list[dict[str, Any]]:
    return [row if isinstance(row, dict) else {} for row in rows] if isinstance(rows, list) else []


def _text(row: dict[str, Any], key: str, default: str = "") -> str:
    value = row.get(key, default)
    return value.strip() if isinstance(value, str) else ""


def _two_drivers(couplings: Rows) -> list[Fault]:
    faults: list[Fault] = []
    first: dict[str, int] = {}
    for place, row in couplings:
        driven = _text(row, "driven")
        path: Path = ("coupling", place, "driven")
        if driven == CRANKSHAFT:
            faults.append(Fault(path, driven, "nothing drives the crankshaft but the engine"))
        elif driven and driven in first:
            say = f"is driven by coupling[{first[driven] + 1}] already: a shaft has one driver"
            faults.append(Fault(path, driven, say))
        elif driven:
            first[driven] = place
    return faults


def _orphans(couplings: Rows, members: Rows) -> list[Fault]:
    shafts = [CRANKSHAFT, *(_text(row, "driven") for _, row in couplings)]
    asked = [(("coupling", place, "driver"), _text(row, "driver", CRANKSHAFT)) for place, row in couplings]
    asked += [(("member", place, "shaft"), _text(row, "shaft", CRANKSHAFT)) for place, row in members]
    known = ", ".join(dict.fromkeys(shaft for shaft in shafts if shaft))
    return [
        Fault(path, shaft, f"no coupling drives such a shaft; shafts are {known}")
        for path, shaft in asked
        if shaft and shaft not in shafts
    ]


def _loops(couplings: Rows) -> list[Fault]:
    driver_of = {_text(row, "driven"): _text(row, "driver", CRANKSHAFT) for _, row in couplings}
    faults: list[Fault] = []
    told: set[str] = set()
    for place, row in couplings:
        start = shaft = _text(row, "driven")
        seen: list[str] = []
        while shaft in driver_of and shaft not in seen:
            seen.append(shaft)
            shaft = driver_of[shaft]
        if start and shaft == start and start not in told:
            told.update(seen)
            ring = " <- ".join([*seen, start])
            say = f"runs in a ring ({ring}): every shaft must lead back to the crankshaft"
            faults.append(Fault(("coupling", place, "driven"), start, say))
    return faults


def _unstated_slip(couplings: Rows, members: Rows) -> list[Fault]:
    into = {_text(row, "driven"): (place, row) for place, row in couplings}
    needed: dict[int, str] = {}
    for _, row in members:
        if not _has_floor(row):
            continue
        shaft, seen = _text(row, "shaft", CRANKSHAFT), set[str]()
        while shaft in into and shaft not in seen:
            seen.add(shaft)
            place, coupling = into[shaft]
            if "slip_max" not in coupling and not any(
                kind in coupling for kind in ("direct", "gear", "chain")
            ):
                needed.setdefault(place, _text(row, "name"))
            shaft = _text(coupling, "driver", CRANKSHAFT)
    return [
        Fault(
            ("coupling", place, "slip_max"),
            "nothing",
            f"{name} has a least speed behind this coupling: state the largest slip under load, such as 3 %",
        )
        for place, name in needed.items()
    ]


def _has_floor(member: dict[str, Any]) -> bool:
    tables = [table for table in member.values() if isinstance(table, dict)]
    return any(key in table for table in tables for key in ("speed_min", "frequency_min"))


def _same_names(members: Rows) -> list[Fault]:
    faults: list[Fault] = []
    first: dict[str, int] = {}
    for place, row in members:
        name = _text(row, "name")
        if name and name in first:
            say = f"is the name of member[{first[name] + 1}] already: give each its own"
            faults.append(Fault(("member", place, "name"), name, say))
        first.setdefault(name, place)
    return faults
