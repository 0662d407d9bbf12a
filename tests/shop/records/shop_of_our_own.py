"""A small invented shop for the tests of the records: people, a customer, a machine, a job's texts."""

import json

from snath.shop.records import store
from snath.shop.records.machines import Customer, MachineRecord
from snath.shop.records.people import Kind, Person, Role


def person(role: Role = Role.MECHANIC, name: str | None = None) -> Person:
    """Somebody without a password, which takes time to hash."""
    return Person.objects.create(name=name or f"somebody {role}", role=role, kind=Kind.LOGIN)


def customer(**fields: str) -> Customer:
    return Customer.objects.create(
        **{"name": "Orchard by the Weir", "phone": "555 0142", "email": "weir@example.org", **fields}
    )


def machine(owner: Customer | None = None, **fields: str) -> MachineRecord:
    given = {"name": "21 inch walk-behind", "kind": "walk-behind rotary mower", "serial": "WB-21/0077"}
    return MachineRecord.objects.create(customer=owner, **{**given, **fields})


def job_json(mark: str = "", *, rule: str = "rule-a", instrument: str = "tach-1", found: float = 57.5) -> str:
    reading = {"shaft": "crankshaft", "decided": True, "instrument": instrument, "value": {"value": found}}
    return json.dumps(
        {
            "schema": "snath-job-1",
            "note": mark,
            "rules": [{"id": rule}],
            "instruments": [{"id": instrument}],
            "as_found": {"readings": [reading]},
            "as_left": {"readings": []},
        }
    )


def result_json(word: str = "pass", *, ceiling: float = 57.6) -> str:
    return json.dumps(
        {
            "window": {"ceiling": ceiling, "target": 55.0},
            "as_found": {"stands": {"word": "fail"}},
            "as_left": {"stands": {"word": word}},
        }
    )


def save(job, who: Person, *, expected: int = 0, mark: str = "", **said):
    return store.save_version(job, job_json(mark, **said), result_json(), expected, who)
