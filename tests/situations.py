"""Machines of our own invention, each with what it takes to prove it, from tests/cases/situations."""

import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from snath.decisions.job.assemble import job_for
from snath.decisions.job.job import Job
from snath.decisions.machine.sheet import read_sheet
from snath.decisions.reading.instruments import Instrument
from snath.rules.load import shipped_rules

CASES = Path(__file__).parent / "cases" / "situations"
ROOT = Path(__file__).parents[1]
RPM = 1 / 60
TODAY, BEFORE, BOUGHT = "2026-06-01", "2026-01-01", "2026-03-01"


@dataclass(frozen=True)
class Situation:
    """One machine and what is known of it by hand."""

    what: str
    sheet: str
    expect: dict[str, Any]

    def job(self) -> Job:
        machine = read_sheet(self.sheet, decimal_mark=self.expect.get("decimal_mark", "."))
        return job_for(machine, shipped_rules(), only=self.expect.get("rule"))


def situations() -> list[Situation]:
    """Every one of them, those that are refused among them."""
    return [
        Situation(row.pop("what"), row.pop("sheet"), row)
        for path in sorted(CASES.glob("*.toml"))
        for row in tomllib.loads(path.read_text("utf-8"))["situation"]
    ]


def instrument(known: str, kind: str, digit: float = 1.0) -> Instrument:
    """A tachometer of that kind: checked, as bought, overdue, or one nobody knows."""
    name, resolution = f"{known} {kind}", digit * RPM
    if known == "unknown":
        return Instrument(name, name, kind, resolution=resolution)
    if known == "as bought":
        return Instrument(name, name, kind, accuracy=0.001, resolution=resolution, bought_on=BOUGHT)
    due = "2027-01-01" if known == "checked" else "2026-05-01"
    return Instrument(name, name, kind, accuracy=0.001, resolution=resolution, checked_on=BEFORE, due_on=due)
