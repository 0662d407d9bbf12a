"""Define a sheet's tables of blades, wheels, alternators and pumps, and check each."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import TYPE_CHECKING, Annotated, Literal, Self, TypeVar

from pydantic import Field, create_model, model_validator

from snath.decisions.machine.parts import CRANKSHAFT
from snath.decisions.machine.sheet_fields import (
    ArmLength,
    BarWidth,
    BladeLength,
    Frequency,
    Name,
    ShaftSpeed,
    SurfaceSpeed,
    Table,
    Text,
    WheelDiameter,
    choice,
    one_of,
    refusal,
    texts,
)
from snath.formulas.blades import BENT
from snath.quantities.message import Message
from snath.rules.kinds import PART_KINDS, Shape
from snath.rules.scope import SET_CLASSES, WHEEL_CLASSES

Some = TypeVar("Some", bound="Marked")


class Marked(Table):
    """What may be marked on any part."""

    speed_max: ShaftSpeed | None = None
    speed_min: ShaftSpeed | None = None
    source: Text = ""

    @model_validator(mode="after")
    def speeds_agree(self) -> Self:
        if (
            self.speed_min
            and self.speed_max
            and self.speed_min.measured.value > self.speed_max.measured.value
        ):
            say = Message("sheet.at-least-key", key="speed_min", value=self.speed_min.text)
            raise refusal(say, key="speed_max", given=self.speed_max.text)
        return self


class SizedTable(Marked):
    """A part with sizes; those from a maker's page are taken as printed, those without ± to what a tape reads."""

    sizes_from: Text = ""


class BladeTable(SizedTable):
    """A blade. Best entry: `arms`, hole centre to the farthest point, at both ends."""

    arms: Annotated[list[ArmLength], Field(min_length=2, max_length=2)] | None = None
    length: BladeLength | None = None
    width: BarWidth | None = None
    measured: Literal["corner to corner", "square across", "swing from the bore"] | None = None
    new_largest: BladeLength | None = None

    @model_validator(mode="after")
    def agrees(self) -> Self:
        if self.arms is not None:
            self.arms_agree(*(arm.measured.value for arm in self.arms))
        elif self.length is None:
            raise refusal(Message("sheet.give-arms"), key="arms", given="nothing")
        elif self.measured in (None, "square across"):
            self.bar_agrees()
        elif self.width is not None:
            say = Message("sheet.tip-circle-already", measured=self.measured or "")
            raise refusal(say, key="width", given=self.width.text)
        return self

    def arms_agree(self, first: float, second: float) -> None:
        for key in ("length", "width", "measured"):
            if getattr(self, key) is not None:
                raise refusal(Message("sheet.arms-say-all"), key=key, given=getattr(self, key))
        if abs(first - second) > BENT * (1 + 1e-9):
            raise refusal(Message("sheet.bent"), key="arms", given=texts(self.arms or []))

    def bar_agrees(self) -> None:
        if self.width is None and self.measured is not None:
            raise refusal(Message("sheet.width-too"), key="width", given="nothing")
        if self.length and self.width and self.width.measured.value > self.length.measured.value:
            say = Message("sheet.width-over-length", length=self.length.text)
            raise refusal(say, key="width", given=self.width.text)


class DiscTable(SizedTable):
    """A disc with its marked surface speed, shaft speed or both."""

    diameter: WheelDiameter | None = None
    surface_max: SurfaceSpeed | None = None

    @model_validator(mode="after")
    def has_limit(self) -> Self:
        return self.limited_by("speed_max", "surface_max")

    def limited_by(self, *keys: str) -> Self:
        """Refused when none of the keys sets a limit, or a surface speed has no diameter to it."""
        for key in keys:
            if key != "speed_max" and getattr(self, key) is not None and self.diameter is None:
                raise refusal(Message("sheet.needed-beside", key=key), key="diameter", given="nothing")
        return limited(self, *keys)


class StringHeadTable(DiscTable):
    """A trimmer head; the diameter is the circle the line ends draw, `surface_max` their speed where it is marked."""

    diameter: BladeLength | None = None


class WheelTable(DiscTable):
    """A bonded wheel; the class marked on it brings the surface speed of that class."""

    marked_class: Annotated[str, choice(WHEEL_CLASSES)] | None = None

    @model_validator(mode="after")
    def has_limit(self) -> Self:
        return self.limited_by("speed_max", "surface_max", "marked_class")


class DrivenTable(Marked):
    """A part that may have no highest speed of its own: then the sheet says so, and why."""

    unlimited: Text = ""

    def limited_by(self, *keys: str) -> Self:
        """Refused when none of the keys sets a limit, or a part with a highest speed is said to have none."""
        highest = [key for key in keys if key.endswith("_max") and getattr(self, key) is not None]
        if self.unlimited and highest:
            raise refusal(Message("sheet.limited", by=highest[0]), key="unlimited", given=self.unlimited)
        return self if self.unlimited else limited(self, *keys)


class AlternatorTable(DrivenTable):
    """An alternator by its poles and the band its frequency must keep to; an inverter says nothing of speed."""

    poles: Annotated[int, Field(ge=2, le=64, multiple_of=2)] | None = None
    frequency_max: Frequency | None = None
    frequency_min: Frequency | None = None
    inverter: bool = False
    performance_class: Annotated[str, choice(SET_CLASSES)] | None = None

    @model_validator(mode="after")
    def agrees(self) -> Self:
        if self.inverter:
            for key in ("frequency_max", "frequency_min"):
                if getattr(self, key) is not None:
                    raise refusal(Message("sheet.inverter"), key=key, given=getattr(self, key).text)
            return self.limited_by("speed_max")
        if self.poles is None:
            raise refusal(Message("sheet.poles"), key="poles", given="nothing")
        low, high = self.frequency_min, self.frequency_max
        if low and high and low.measured.value > high.measured.value:
            say = Message("sheet.at-least-key", key="frequency_min", value=low.text)
            raise refusal(say, key="frequency_max", given=high.text)
        return self.limited_by("frequency_max", "frequency_min", "speed_max")


class PartTable(DrivenTable):
    """A pump or any other driven part by its marked shaft speed."""

    @model_validator(mode="after")
    def has_limit(self) -> Self:
        return self.limited_by("speed_max", "speed_min")


SHAPES: Mapping[Shape, type[Marked]] = MappingProxyType(
    {
        "blade": BladeTable,
        "string head": StringHeadTable,
        "disc": DiscTable,
        "wheel": WheelTable,
        "alternator": AlternatorTable,
        "driven": PartTable,
    }
)
TABLES = tuple(kind.key for kind in PART_KINDS)


class PlacedTable(Table):
    """Something on a shaft that has a limit."""

    name: Name
    shaft: Name = CRANKSHAFT

    @model_validator(mode="after")
    def agrees(self) -> Self:
        one_of(self, TABLES)
        return self


if TYPE_CHECKING:
    MemberTable = PlacedTable  # to the type checker its tables are found by name only
else:
    _tables = {kind.key: (SHAPES[kind.shape] | None, None) for kind in PART_KINDS}
    MemberTable = create_model("MemberTable", __base__=PlacedTable, **_tables)


def limited(table: Some, *keys: str) -> Some:
    """The table itself, refused when none of the keys sets a limit."""
    if all(getattr(table, key) is None for key in keys):
        raise refusal(Message("sheet.needs-limit", keys=keys), key=keys[0], given="nothing")
    return table
