"""Define a sheet's table of the engine or motor, and check it."""

import math
from itertools import pairwise
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from snath.decisions.machine.parts import GovernorKind, Ignition, PrimeMover
from snath.decisions.machine.sheet_fields import (
    CrankAngle,
    Droop,
    Name,
    ShaftSpeed,
    SpeedTolerance,
    Table,
    Text,
    has_tolerance,
    read_condition,
    refusal,
    texts,
)
from snath.quantities.message import Message

DEGREE = 180 / math.pi


class MakerNoLoadTable(Table):
    """The equipment maker's no-load figure."""

    speed: ShaftSpeed | None = None
    tolerance: SpeedTolerance | None = None
    shop_tolerance: SpeedTolerance | None = None
    at_most: ShaftSpeed | None = None
    condition: Annotated[
        Literal["blades off", "blades in air"], read_condition("blades off", "blades in air")
    ]
    source: Annotated[Name, Field(max_length=300)]

    @model_validator(mode="after")
    def one_tolerance(self) -> Self:
        given = [self.tolerance is not None, self.shop_tolerance is not None]
        if self.speed is None:
            if self.at_most is None:
                raise refusal(Message("sheet.maker-speed"), key="speed", given="nothing")
            if any(given):
                raise refusal(Message("sheet.maker-most"), key="tolerance", given="at_most")
        elif sum([has_tolerance(self.speed) and self.speed.half_width > 0, *given]) > 1:
            raise refusal(Message("sheet.maker-tolerance"), key="tolerance", given="twice")
        return self


class EngineTable(Table):
    """What turns the crankshaft."""

    prime_mover: PrimeMover = "engine"
    code: Text = ""
    strokes: Literal[2, 4] | None = None
    cylinders: Annotated[int, Field(ge=1, le=16)] | None = None
    firing: Literal["even", "uneven"] | None = None
    firing_angles: Annotated[list[CrankAngle], Field(min_length=1, max_length=16)] | None = None
    ignition: Ignition | None = None
    governor: GovernorKind | None = None
    rated_max: ShaftSpeed | None = None
    rated_min: ShaftSpeed | None = None
    idle: ShaftSpeed | None = None
    droop: Droop | None = None
    clutch: Literal["none", "by hand", "centrifugal"] | bool | None = None
    maker_no_load: MakerNoLoadTable | None = None

    @model_validator(mode="after")
    def agrees(self) -> Self:
        if self.prime_mover != "engine":
            for key in ("strokes", "cylinders", "firing", "firing_angles", "idle"):
                if getattr(self, key) is not None:
                    say = Message("sheet.has-none", mover=self.prime_mover)
                    raise refusal(say, key=key, given=getattr(self, key))
            if self.ignition not in (None, "no spark"):
                say = Message("sheet.has-none", mover=self.prime_mover)
                raise refusal(say, key="ignition", given=self.ignition)
        self.firing_agrees()
        self.speeds_agree()
        return self

    def firing_agrees(self) -> None:
        if self.firing_angles is None:
            if self.firing == "uneven":
                raise refusal(Message("sheet.where-fires"), key="firing_angles", given="nothing")
            return
        if self.firing == "even":
            say = Message("sheet.even-needs-none")
            raise refusal(say, key="firing_angles", given=texts(self.firing_angles))
        if self.strokes is None or self.cylinders is None:
            missing = "strokes" if self.strokes is None else "cylinders"
            say = Message("sheet.needed-beside", key="firing_angles")
            raise refusal(say, key=missing, given="nothing")
        turn = 360 if self.strokes == 2 else 720
        angles = self.angles_deg()
        ordered = all(low < high for low, high in pairwise(angles))
        if len(angles) != self.cylinders or angles[0] != 0 or angles[-1] >= turn or not ordered:
            say = Message("sheet.crank-angles", cylinders=self.cylinders or 0, turn=turn)
            raise refusal(say, key="firing_angles", given=texts(self.firing_angles))

    def angles_deg(self) -> list[float]:
        """Crank angles as whole-looking degrees."""
        return [round(angle.measured.value * DEGREE, 6) for angle in self.firing_angles or []]

    def speeds_agree(self) -> None:
        speeds = [(key, getattr(self, key)) for key in ("idle", "rated_min", "rated_max")]
        known = [(key, speed) for key, speed in speeds if speed is not None]
        for (low_key, low), (key, high) in pairwise(known):
            if low.measured.value > high.measured.value:
                say = Message("sheet.at-least-key", key=low_key, value=low.text)
                raise refusal(say, key=key, given=high.text)
