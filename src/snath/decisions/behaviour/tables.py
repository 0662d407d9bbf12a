"""Say which entries each question on a machine's behaviour takes, wherever they are typed.

One table a question: options of a command, tables of a job file and boxes of a page are handed to it as text with
units, and its faults come back by their path. A start value is that of the input the table is made into.
"""

import re
from dataclasses import fields
from typing import Annotated, Any, get_args

from pydantic import AfterValidator, Field, PlainValidator, model_validator

from snath.decisions.behaviour.asked import (
    Alternator,
    BalanceInput,
    GovernorInput,
    Load,
    StageName,
    State,
    StopInput,
)
from snath.decisions.behaviour.checklist import checks, not_adjustable
from snath.decisions.behaviour.setting_input import SettingKind
from snath.decisions.behaviour.stop import devices
from snath.decisions.behaviour.thrown import Surroundings, Thing, ThrowInput
from snath.decisions.machine.parts import CRANKSHAFT
from snath.decisions.machine.sheet_fields import (
    Name,
    ShaftSpeed,
    Table,
    Text,
    choice,
    quantity,
    ratio,
    refusal,
)
from snath.formulas.balance.grade import grades
from snath.quantities.measured import Measured
from snath.quantities.message import Message
from snath.quantities.units import Quantity, in_unit


def start(made: type, name: str, unit: str = "") -> Any:
    """What an entry is where it is left out: the start value of what its table is made into, as one would type it."""
    value: Any = next(one.default for one in fields(made) if one.name == name)
    return Quantity(Measured(value), unit, f"{in_unit(value, unit):g} {unit}") if unit else value


def even(poles: int) -> int:
    """Refuses half a pair of poles."""
    if poles % 2:
        raise refusal(Message("governor.poles-even"))
    return poles


def pulses_per_turn(given: Any) -> str:
    """Reads how many pulses come with each turn, or "spark" for what the sheet says; nothing where none is given."""
    text = str(given) if isinstance(given, int | float) and not isinstance(given, bool) else given
    if isinstance(text, str) and (
        text in ("", "spark") or (COUNT.fullmatch(text) and 0 < float(text) <= 1000)
    ):
        return text
    raise refusal(Message("sheet.pulses-per-turn"))


COUNT = re.compile(r"[0-9]{1,4}(\.[0-9]{1,6})?")
PerTurn = Annotated[str, PlainValidator(pulses_per_turn)]
Clock = Annotated[float, Field(gt=0, le=1e12)]
Moment = Annotated[Quantity, quantity("time", 0, 86_400, "s")]
Doubt = Annotated[Quantity, quantity("time", 0, 5, "s")]
StopTime = Annotated[Quantity, quantity("time", 0.05, 60, "s")]
Power = Annotated[Quantity, quantity("power", 0, 1e7, "kW")]
NetFrequency = Annotated[Quantity, quantity("frequency", 1, 1_000, "Hz")]
ThingMass = Annotated[Quantity, quantity("mass", 1e-5, 20, "g")]
BladeMass = Annotated[Quantity, quantity("mass", 0.01, 20, "kg")]
SmallMass = Annotated[Quantity, quantity("mass", 0, 5, "g")]
MachineMass = Annotated[Quantity, quantity("mass", 1, 5_000, "kg")]
Reach = Annotated[Quantity, quantity("length", 0, 5, "mm")]
Wind = Annotated[Quantity, quantity("wind", -40, 40, "m/s")]
Slope = Annotated[Quantity, quantity("angle", -0.8, 0.8, "deg")]
Joules = Annotated[Quantity, quantity("energy", 1e-3, 1e4, "J")]
Density = Annotated[float, ratio(200, 20_000)]
Bounce = Annotated[float, ratio(0, 1)]
Place = Annotated[float, ratio(-1_000, 1_000)]
Poles = Annotated[int, Field(ge=2, le=100), AfterValidator(even)]

NOT_ADJUSTABLE = ("", *not_adjustable())


def grade_names() -> tuple[str, ...]:
    """Balance quality grades by name."""
    return tuple(grade.id for grade in grades())


class TrackTable(Table):
    """Where speed over time comes from: a recording, or a track file, beside the job file."""

    recording: Text = ""
    track: Text = ""
    per_turn: PerTurn = ""
    clock: Clock | None = None
    marks: Annotated[int, Field(ge=1, le=100)] | None = None


class GovernorTable(TrackTable):
    """Two typed speeds, or a speed track with the moments at which load came on and off."""

    no_load: ShaftSpeed | None = None
    loaded: ShaftSpeed | None = None
    shaft: Name = CRANKSHAFT
    track_load: Annotated[Load, choice(get_args(Load))] = start(GovernorInput, "track_load")
    load_on: Annotated[list[Moment], Field(max_length=20)] = Field(default_factory=list)
    load_off: Annotated[list[Moment], Field(max_length=20)] = Field(default_factory=list)
    load: Power | None = None
    rated: Power | None = None
    poles: Poles | None = None
    frequency: NetFrequency = start(Alternator, "rated_frequency", "Hz")
    inverter: bool = False


class PointTable(Table):
    """One setting that was tried."""

    position: Place
    speed: ShaftSpeed
    idle: ShaftSpeed | None = None


class SettingTable(Table):
    """Settings tried so far; target and band only where the window gives none."""

    kind: Annotated[SettingKind, choice(get_args(SettingKind))]
    point: Annotated[list[PointTable], Field(max_length=30)] = Field(default_factory=list)
    target: ShaftSpeed | None = None
    set_between: Annotated[list[ShaftSpeed], Field(min_length=2, max_length=2)] | None = None
    ceiling: ShaftSpeed | None = None
    idle_between: Annotated[list[ShaftSpeed], Field(min_length=2, max_length=2)] | None = None


class StopTable(TrackTable):
    """One stop test by a track of its run-down."""

    shaft: Text = ""
    blade_shaft: Text = ""
    device: Annotated[str, choice(tuple(devices()))]
    release: Moment | None = None
    standstill: Moment | None = None
    u_release: Doubt = start(StopInput, "u_release", "s")
    u_standstill: Doubt = start(StopInput, "u_standstill", "s")
    maker_limit: StopTime | None = None
    manual: Text = ""


class ThingTable(Table):
    """What may lie in the grass."""

    name: Name
    mass: ThingMass
    density: Density = start(Thing, "density")


class OpeningTable(Table):
    """Where things get out, heights above ground."""

    struck_height: Reach
    edge_distance: Reach
    edge_low: Reach
    edge_high: Reach


class ThrowTable(Table):
    """What may be thrown; its tip speeds are those found, left and allowed."""

    thing: Annotated[list[ThingTable], Field(min_length=1, max_length=10)]
    bounce_low: Bounce = start(ThrowInput, "bounce_low")
    bounce_high: Bounce = start(ThrowInput, "bounce_high")
    opening: OpeningTable | None = None
    wind: Wind = start(Surroundings, "wind", "m/s")
    slope: Slope = start(Surroundings, "slope", "deg")
    carrying: Joules = start(ThrowInput, "carrying", "J")

    @model_validator(mode="after")
    def _right_way_up(self) -> "ThrowTable":
        if self.bounce_high < self.bounce_low:
            say = Message("throw.least-bounce", low=self.bounce_low)
            raise refusal(say, key="bounce_high", given=self.bounce_high)
        return self


class BalanceTable(Table):
    """A blade and what is wrong with it."""

    mass: BladeMass
    blade: Reach
    missing: SmallMass
    missing_radius: Reach
    grind_radius: Reach | None = None
    speed: ShaftSpeed
    grade: Annotated[str, choice(grade_names())] = start(BalanceInput, "grade")
    mover: SmallMass | None = None
    mover_radius: Reach | None = None
    hole_play: Reach = start(BalanceInput, "hole_play", "mm")
    machine_mass: MachineMass | None = None


class MarkTable(Table):
    """What the bench put down for one check."""

    check: Annotated[str, choice(tuple(check.id for check in checks()))]
    state: Annotated[State, choice(get_args(State))]
    note: Text = ""
    put_right: Text = ""
    by: Text = ""


class ChecklistTable(Table):
    """The tick of each stage, what is marked by itself, and why it can't be set here, if so."""

    in_order: Annotated[list[Annotated[StageName, choice(get_args(StageName))]], Field(max_length=2)] = Field(
        default_factory=list
    )

    mark: Annotated[list[MarkTable], Field(max_length=60)] = Field(default_factory=list)
    not_adjustable: Annotated[str, choice(NOT_ADJUSTABLE)] = ""
    seals: Text = ""


class BehaviourTables(Table):
    """All of them, each left out where nothing was asked."""

    governor_found: GovernorTable | None = None
    governor_left: GovernorTable | None = None
    setting: SettingTable | None = None
    stop: StopTable | None = None
    throw: ThrowTable | None = None
    balance: BalanceTable | None = None
    checklist: ChecklistTable | None = None
    wanted_loaded: ShaftSpeed | None = None
