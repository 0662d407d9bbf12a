"""Check that the shafts of a sheet hang together: one driver each, every one led back to the crankshaft."""

from typing import Any

from snath.decisions.machine.parts import CRANKSHAFT
from snath.decisions.machine.sheet_schema import MOST_COUPLINGS, MOST_MEMBERS
from snath.quantities.message import Message
from snath.quantities.toml_text import Fault, Path


def faults_of_tree(data: dict[str, Any]) -> list[Fault]:
    """What is wrong between shafts: two drivers, orphans, loops, floors behind belts of unstated slip.

    Works on the bare data, so that these are found together with faults inside the tables. Where there are more of them
    than a machine can have, that alone is told: every shaft is looked for among all others.
    """
    couplings = [(place, row) for place, row in enumerate(_rows(data.get("coupling")))]
    members = [(place, row) for place, row in enumerate(_rows(data.get("member")))]
    if len(couplings) > MOST_COUPLINGS or len(members) > MOST_MEMBERS:
        return []
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
            faults.append(Fault(path, driven, Message("sheet.only-engine-drives")))
        elif driven and driven in first:
            already = Message("sheet.driven-already", coupling=f"coupling[{first[driven] + 1}]")
            faults.append(Fault(path, driven, already))
        elif driven:
            first[driven] = place
    return faults


def _orphans(couplings: Rows, members: Rows) -> list[Fault]:
    shafts = [CRANKSHAFT, *(_text(row, "driven") for _, row in couplings)]
    asked = [(("coupling", place, "driver"), _text(row, "driver", CRANKSHAFT)) for place, row in couplings]
    asked += [(("member", place, "shaft"), _text(row, "shaft", CRANKSHAFT)) for place, row in members]
    known = tuple(dict.fromkeys(shaft for shaft in shafts if shaft))
    return [
        Fault(path, shaft, Message("sheet.no-such-shaft", known=known))
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
            faults.append(Fault(("coupling", place, "driven"), start, Message("sheet.ring", ring=ring)))
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
            Message("sheet.slip-needed", name=name),
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
            taken = Message("sheet.name-taken", member=f"member[{first[name] + 1}]")
            faults.append(Fault(("member", place, "name"), name, taken))
        first.setdefault(name, place)
    return faults
