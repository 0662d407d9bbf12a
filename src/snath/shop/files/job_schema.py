"""Which tables and keys a job file has: what was found, what was left, and what the paper says besides."""

import re
from contextlib import suppress
from datetime import date
from typing import Annotated, Any, Literal, Self, get_args

from pydantic import Field, PlainValidator, model_validator

from snath.decisions.behaviour.tables import BehaviourTables, Clock, PerTurn
from snath.decisions.machine.parts import CRANKSHAFT, Condition
from snath.decisions.machine.sheet_fields import (
    Name,
    ShaftSpeed,
    SpeedTolerance,
    Table,
    Text,
    choice,
    read_condition,
    refusal,
    share,
)
from snath.decisions.reading.instruments import INSTRUMENT_KINDS
from snath.decisions.window.solve import USUAL_DECISION, DecisionRule
from snath.quantities.message import Message
from snath.rules.scope import MARKETS
from snath.shop.paper.facts import is_somebody_else

Share = Annotated[float, share(0.1)]
DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


def day(given: Any) -> str:
    """Reads a day of the calendar, in quotation marks or without."""
    text = given.isoformat() if type(given) is date else given
    if isinstance(text, str) and DAY.fullmatch(text):
        with suppress(ValueError):
            return date.fromisoformat(text).isoformat()
    raise refusal(Message("sheet.day"))


def day_or_nothing(given: Any) -> str:
    """The same, or empty where it is not known."""
    return "" if given == "" else day(given)


Day = Annotated[str, PlainValidator(day)]
MaybeDay = Annotated[str, PlainValidator(day_or_nothing)]
FlashRun = Annotated[list[ShaftSpeed], Field(min_length=1, max_length=30)]
OUTCOMES = ("", "not adjustable here", "customer declined", "accident machine: read only")


class InstrumentTable(Table):
    """One instrument the readings were taken with."""

    id: Name
    name: Name
    kind: Annotated[str, choice(tuple(INSTRUMENT_KINDS))] = "other"
    accuracy: Share = 0.0
    digits: SpeedTolerance | None = None
    per_turn: Annotated[float, Field(gt=0, le=100)] = 1.0
    resolution: SpeedTolerance | None = None
    checked_on: MaybeDay = ""
    bought_on: MaybeDay = ""
    due_on: MaybeDay = ""


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
    condition: Annotated[Condition, read_condition(*get_args(Condition))] = "blades in air"
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
    one_person: bool = False

    @model_validator(mode="after")
    def two_sign(self) -> Self:
        second = self.countersigned_by
        if second and not is_somebody_else(second, self.read_by, self.set_by):
            raise refusal(Message("job.second-person"), key="countersigned_by", given=second)
        return self


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
    decision: Annotated[DecisionRule, choice(get_args(DecisionRule))] = USUAL_DECISION
    setting_step: SpeedTolerance | None = None
    only_checked: bool = False
    aim: ShaftSpeed | None = None
    aim_reason: Text = ""
    outcome: Annotated[str, choice(OUTCOMES)] = ""
    instrument: Annotated[list[InstrumentTable], Field(max_length=20)] = Field(default_factory=list)
    as_found: Annotated[list[ReadingTable], Field(max_length=50)] = Field(default_factory=list)
    as_left: Annotated[list[ReadingTable], Field(max_length=50)] = Field(default_factory=list)
    facts: FactsTable = FactsTable()
