"""Define the tables and keys of a route file."""

from typing import Annotated, Any, Literal, Self

from pydantic import Field, PlainValidator, ValidationInfo, model_validator

from snath.decisions.drive.bore import bore_of
from snath.decisions.machine.sheet_fields import (
    GrooveOffset,
    Name,
    ShaftSpeed,
    SheaveDiameter,
    Table,
    Text,
    mark_of,
    one_of,
    quantity,
    ratio,
    refusal,
    share,
)
from snath.quantities.errors import InputError
from snath.quantities.message import Amount, Message
from snath.quantities.units import Quantity, parse

MOST_RIDE = 0.003  # m; a belt further out of its groove is not the belt for it: common practice, no source
FARTHEST = 5.0  # m from the drawing's origin


def _signed(text: Any, info: ValidationInfo) -> float:
    """A coordinate: a length that may be negative."""
    plain = text.strip() if isinstance(text, str) else text
    minus = isinstance(plain, str) and plain.startswith(("-", "−"))
    try:
        value = parse(
            plain[1:].strip() if minus else plain, dimension="length", field="", decimal_mark=mark_of(info)
        ).value
    except InputError as fault:
        raise refusal(fault.allowed) from None
    if value > FARTHEST:
        raise refusal(Message("drive.too-far", most=FARTHEST))
    return -value if minus else value


def _bore(text: Any, info: ValidationInfo) -> str:
    """A bore in the form stock has it."""
    try:
        return bore_of(text if isinstance(text, str) else str(text), decimal_mark=mark_of(info))
    except InputError as fault:
        raise refusal(fault.allowed) from None


Coordinate = Annotated[float, PlainValidator(_signed)]
PointText = Annotated[list[Coordinate], Field(min_length=2, max_length=2)]
PlaceText = Annotated[list[Coordinate], Field(min_length=2, max_length=3)]
ShortLength = Annotated[Quantity, quantity("length", 0, 2, "mm")]
BeltLength = Annotated[Quantity, quantity("length", 0.2, 20, "mm")]
Angle = Annotated[Quantity, quantity("angle", -7, 7, "deg")]
Force = Annotated[Quantity, quantity("force", 0, 50_000, "N")]
Power = Annotated[Quantity, quantity("power", 1, 500_000, "kW")]


class SlotTable(Table):
    """A straight way, from its slack to its tight end."""

    slack: PointText
    tight: PointText


class ArmTable(Table):
    """A swinging arm with the pulley at its end; angles from the drawing's x axis."""

    pivot: PointText
    length: ShortLength
    slack: Angle
    tight: Angle
    released: Angle | None = None

    @model_validator(mode="after")
    def agrees(self) -> Self:
        if self.slack.measured.value == self.tight.measured.value:
            raise refusal(Message("drive.tight-is-slack"), key="tight", given=self.tight.text)
        return self


class SpringTable(Table):
    """The spring that pulls the arm tight."""

    anchor: PointText
    lever: ShortLength
    angle: Angle
    pull: Force  # at the stretched length
    at: ShortLength
    free: ShortLength
    initial: Force


class PulleyTable(Table):
    """One pulley."""

    name: Name
    shaft: Text = ""
    at: PlaceText | None = None
    axis: Annotated[list[float], Field(min_length=3, max_length=3)] | None = None
    contact: Literal["groove", "flat inside", "flat back"] = "groove"
    outside: SheaveDiameter | None = None
    datum: SheaveDiameter | None = None
    datum_offset: GrooveOffset | None = None
    bore: Annotated[str, PlainValidator(_bore)] = ""
    room: SheaveDiameter | None = None
    ride: Coordinate = 0.0
    shiny_bottom: bool = False
    wobble: bool = False
    slot: SlotTable | None = None
    arm: ArmTable | None = None
    spring: SpringTable | None = None

    @model_validator(mode="after")
    def agrees(self) -> Self:
        one_of(self, ("outside", "datum"))
        one_of(self, ("at", "slot", "arm"))
        if self.contact != "groove" and self.datum is not None:
            raise refusal(Message("drive.flat-datum"), key="datum", given=self.datum.text)
        if self.contact != "groove" and self.shaft:
            raise refusal(Message("drive.through-groove"), key="contact", given=self.contact)
        if abs(self.ride) > MOST_RIDE:
            say = Message("drive.off-rim", most=Amount(MOST_RIDE, "length"))
            raise refusal(say, key="ride", given=f"{self.ride * 1000:g} mm")
        if self.spring is not None and self.arm is None:
            raise refusal(Message("drive.spring-needs-arm"), key="spring", given=Message("drive.a-spring"))
        return self


class BeltTable(Table):
    """The belt that is on: its designation, or its section and a measured length."""

    name: Name
    section: Text = ""
    outside_length: BeltLength | None = None
    tolerance: ShortLength | None = None
    part: Text = ""
    aramid: bool = False

    @model_validator(mode="after")
    def agrees(self) -> Self:
        if (self.outside_length is None) != (self.section == ""):
            raise refusal(Message("drive.section-and-length"), key="section", given=self.section or "nothing")
        return self


class FitTable(Table):
    """What a new drive must keep to."""

    speed: ShaftSpeed | None = None
    least_share: Annotated[float, share(1.0)] = 0.85
    least_wrap: Angle | None = None
    spread: Annotated[float, share(0.5)] | None = None
    clearance: ShortLength | None = None
    power: Power | None = None
    service: Annotated[float, ratio(1.0, 3.0)] = 1.3
    slack_pull: Force | None = None
    stretch: Annotated[float, share(0.1)] = 0.01


class RouteTable(Table):
    """The whole file."""

    route: Literal[1] = 1
    decimal_mark: Literal[".", ","] = "."
    name: Name
    turns: Literal["clockwise", "counter-clockwise"]
    belt: BeltTable
    pulley: Annotated[list[PulleyTable], Field(min_length=2, max_length=12)]
    fit: FitTable = Field(default_factory=FitTable)
