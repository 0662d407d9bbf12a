"""Which tables and keys a job file has: what was found, what was left, and what the paper says besides."""

from typing import Annotated, Literal, get_args

from pydantic import Field

from snath.decisions.job.job import DecisionRule
from snath.decisions.machine.parts import CRANKSHAFT, Condition
from snath.decisions.machine.sheet_fields import Name, ShaftSpeed, SpeedTolerance, Table, Text, choice, share
from snath.decisions.reading.instruments import InstrumentKind
from snath.rules.scope import MARKETS
from snath.shop.cli.behaviour_schema import BehaviourTables, Clock, PerTurn

Share = Annotated[float, share(0.1)]
Day = Annotated[str, Field(pattern=r"^\d{4}-\d{2}-\d{2}$")]
FlashRun = Annotated[list[ShaftSpeed], Field(min_length=1, max_length=30)]
OUTCOMES = ("", "not adjustable here", "customer declined", "accident machine: read only")


class InstrumentTable(Table):
    """One instrument the readings were taken with."""

    id: Name
    name: Name
    kind: Annotated[InstrumentKind, choice(get_args(InstrumentKind))] = "other"
    accuracy: Share = 0.0
    digits: SpeedTolerance | None = None
    per_turn: Annotated[float, Field(gt=0, le=100)] = 1.0
    resolution: SpeedTolerance | None = None
    checked_on: Day | Literal[""] = ""
    bought_on: Day | Literal[""] = ""
    due_on: Day | Literal[""] = ""


class WithdrawnTable(Table):
    """Why a reading no longer counts, and who says so."""

    reason: Name
    by: Name
    at: Text = ""


class ReadingTable(Table):
    """One reading: typed repeats, a stroboscope's runs of single images, or a recording beside this file."""

    reading: Annotated[list[ShaftSpeed], Field(min_length=1, max_length=50)] | None = None
    flash_runs: Annotated[list[FlashRun], Field(min_length=1, max_length=20)] | None = None
    alike: Annotated[int, Field(ge=1, le=100)] = 1
    recording: Text = ""
    per_turn: PerTurn = ""
    clock: Clock | None = None
    marks: Annotated[int, Field(ge=1, le=100)] | None = None
    u: SpeedTolerance | None = None
    condition: Annotated[Condition, choice(get_args(Condition))] = "blades in air"
    shaft: Name = CRANKSHAFT
    instrument: Text = ""
    hunting: SpeedTolerance | None = None
    at: Text = ""
    turned: Text = ""
    withdrawn: WithdrawnTable | None = None


class FactsTable(Table):
    """What stands on the paper and is judged by nobody."""

    shop: Text = ""
    number: Text = ""
    customer: Text = ""
    hours: Text = ""
    blade_part: Text = ""
    blade_condition: Text = ""
    manual: Text = ""
    read_by: Text = ""
    set_by: Text = ""
    countersigned_by: Text = ""
    seals_found: Text = ""
    seals_renewed: Text = ""
    note: Text = ""


class JobTable(BehaviourTables):
    """The whole file."""

    job: Literal[1] = 1
    id: Text = ""
    judged_on: Day
    decimal_mark: Literal[".", ","] = "."
    market: Annotated[str, choice(("", *MARKETS))] = ""
    rule: Text = ""
    rules: Text = ""
    sheet: Name
    decision: Annotated[DecisionRule, choice(get_args(DecisionRule))] = "one-sided 95 %"
    setting_step: SpeedTolerance | None = None
    only_checked: bool = False
    aim: ShaftSpeed | None = None
    aim_reason: Text = ""
    outcome: Annotated[str, choice(OUTCOMES)] = ""
    instrument: Annotated[list[InstrumentTable], Field(max_length=20)] = Field(default_factory=list)
    as_found: Annotated[list[ReadingTable], Field(max_length=50)] = Field(default_factory=list)
    as_left: Annotated[list[ReadingTable], Field(max_length=50)] = Field(default_factory=list)
    facts: FactsTable = FactsTable()
