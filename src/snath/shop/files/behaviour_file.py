"""From the tables of a job file to what was asked about the machine's behaviour, every fault with its place."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any, TypeVar

from snath.decisions.behaviour.asked import BehaviourInput, ChecklistInput
from snath.decisions.behaviour.balance import judge_balance
from snath.decisions.behaviour.checklist import checklist
from snath.decisions.behaviour.from_tables import (
    balance_input,
    checklist_input,
    governor_input,
    setting_input,
    stop_input,
    throw_input,
)
from snath.decisions.behaviour.governor import judge_governor
from snath.decisions.behaviour.setting import next_setting
from snath.decisions.behaviour.stop import judge_stop
from snath.decisions.behaviour.tables import BehaviourTables, TrackTable
from snath.decisions.behaviour.throw import judge_throw
from snath.decisions.behaviour.thrown import TipSpeed
from snath.decisions.job.job import Evidence, Job
from snath.decisions.job.work import work
from snath.decisions.machine.sheet_fields import named
from snath.formulas.signals.candidates import Track
from snath.quantities.errors import InputError
from snath.quantities.toml_text import Fault
from snath.shop.files.behaviour_tracks import taken

SOME_TIP_SPEED = TipSpeed("as found", 90.0)  # to try whether a throw can be worked out; [m/s]

Given = TypeVar("Given")


@dataclass(slots=True)
class Behaved:
    """What was asked, the hashes of what it was read from, and everything that is wrong with it."""

    made: dict[str, Any] = field(default_factory=dict)
    evidence: list[Evidence] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)

    def put(self, part: str, make: Callable[[], Given], judge: Callable[[Given], object]) -> None:
        """Build one part and try it, so that what cannot be is named with its table and key."""
        try:
            made = make()
            judge(made)
        except InputError as fault:
            path = (part, *fault.field.replace(" ", "_").split("."))
            self.faults.append(Fault(path, fault.given, fault.allowed))
        else:
            self.made[part] = made

    @property
    def given(self) -> BehaviourInput:
        """All parts that could be made."""
        return BehaviourInput(**self.made)


def behaviour_of(tables: BehaviourTables, job: Job, folder: Path) -> Behaved:
    """Everything the file says of the machine's behaviour, tried part by part."""
    found = Behaved()

    def track(row: TrackTable, shaft: str) -> Track | None:
        got = taken(row, shaft=shaft, machine=job.machine, folder=folder)
        if got is None:
            return None
        found.evidence.append(got.evidence)
        return got.track

    for part, row in (("governor_found", tables.governor_found), ("governor_left", tables.governor_left)):
        if row is not None:
            found.put(
                part,
                lambda row=row, part=part: governor_input(row, part, job.machine, track),  # type: ignore[misc]
                lambda made: judge_governor(made, job.rules),
            )
    if (stop := tables.stop) is not None:
        found.put(
            "stop",
            lambda: stop_input(stop, job.machine, track),
            lambda made: judge_stop(made, job.machine, job.rules, market=job.market),
        )
    if (setting := tables.setting) is not None:
        checked = checklist(job.machine, ChecklistInput())
        found.put(
            "setting",
            lambda: setting_input(setting, work(job).window),
            lambda made: next_setting(made, hunts=False, checked=checked),
        )
    if (throw := tables.throw) is not None:
        found.put(
            "throw",
            lambda: throw_input(throw),
            lambda made: judge_throw(replace(made, stages=(SOME_TIP_SPEED,))),
        )
    if (balance := tables.balance) is not None:
        found.put("balance", lambda: balance_input(balance), judge_balance)
    if (marks := tables.checklist) is not None:
        found.put("checklist", lambda: checklist_input(marks), lambda made: checklist(job.machine, made))
    if tables.wanted_loaded is not None:
        found.made["wanted_loaded"] = named(tables.wanted_loaded, "wanted_loaded")
    return found
