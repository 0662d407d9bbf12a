"""Define a job, version 2: all that `work` needs and no more, so that it can be run again in years."""

from dataclasses import dataclass
from typing import Literal

from snath.decisions.behaviour.asked import BehaviourInput
from snath.decisions.machine.parts import Coupling, Machine
from snath.decisions.reading.instruments import Instrument
from snath.decisions.reading.reading import Reading
from snath.decisions.window.solve import USUAL_DECISION, DecisionRule
from snath.formulas.signals.candidates import Track
from snath.rules.book import Rule

SCHEMA = "snath-job-2"  # 1 kept reasons as English text; it is still read, see `schema`

NOTHING_ASKED = BehaviourInput()
ACCIDENT = "accident machine: read only"


@dataclass(frozen=True, slots=True)
class Evidence:
    """A recording or photo kept beside the job; the job itself needs only its hash."""

    sha256: str
    media: str
    clock: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Stage:
    """The readings of one state of the machine: "as found" or "as left"."""

    readings: tuple[Reading, ...] = ()
    tracks: tuple[Track, ...] = ()


@dataclass(frozen=True, slots=True)
class Job:
    """One job. Times are ISO 8601; `judged_on` is the date by which instruments count as overdue.

    `machine` is the machine as left; `drive_before` holds couplings that were exchanged, so that "as
    found" is judged with the drive it was found with. `only_rule` names the one surface-speed row chosen in
    place of those in scope. `setting_step` is how finely the governor can be set, 10 rpm unless the shop
    says otherwise (common practice, no source). [rev/s] `facts` are words that stand on the sheet and are
    judged by nobody, by name: hours, blade part, who read and set it. `only_checked` lets none but checked
    instruments pass a machine; an accident machine never passes by another. `aim` is the crankshaft speed the shop
    would set where the machine's maker gives none, with its reason. [rev/s]
    """

    machine: Machine
    rules: tuple[Rule, ...]
    id: str = ""
    schema: str = SCHEMA
    judged_on: str = ""
    market: str = ""
    decimal_mark: Literal[".", ","] = "."
    seed: int = 0
    instruments: tuple[Instrument, ...] = ()
    as_found: Stage = Stage()
    as_left: Stage = Stage()
    drive_before: tuple[Coupling, ...] = ()
    evidence: tuple[Evidence, ...] = ()
    decision: DecisionRule = USUAL_DECISION
    only_rule: str = ""
    setting_step: float = 10 / 60
    facts: tuple[tuple[str, str], ...] = ()
    behaviour: BehaviourInput = NOTHING_ASKED
    only_checked: bool = False
    aim: float | None = None
    aim_reason: str = ""
    outcome: str = ""  # "", "not adjustable here", "customer declined", "accident machine: read only"

    @property
    def strict(self) -> bool:
        """Whether none but checked instruments may pass this machine."""
        return self.only_checked or self.outcome == ACCIDENT
