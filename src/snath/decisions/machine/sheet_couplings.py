"""Define a sheet's tables of the couplings between shafts, and check each."""

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from snath.decisions.machine.parts import CRANKSHAFT
from snath.decisions.machine.sheet_fields import (
    GrooveOffset,
    Name,
    PulleyName,
    RideBy,
    ShaftSpeed,
    SheaveDiameter,
    Slip,
    SpeedRatio,
    Table,
    Text,
    Turns,
    one_of,
    refusal,
)
from snath.formulas.belts.sections import combination_depths, groove_of, has_offset
from snath.quantities.errors import InputError
from snath.quantities.message import Message

Rides = Literal["not looked", "flush", "sunk", "above"]
Groove = Literal["of its section", "A/B combination"]
COMBINATION = "A/B combination"
COUPLING_KINDS = ("direct", "belt", "gear", "chain", "counted", "two_readings", "variable")
ENDS = ("driver", "driven")


class BeltTable(Table):
    """A V-belt over two sheaves."""

    section: Name
    driver_outside: SheaveDiameter | None = None
    driver_datum: SheaveDiameter | None = None
    driven_outside: SheaveDiameter | None = None
    driven_datum: SheaveDiameter | None = None
    datum_offset: GrooveOffset | None = None
    datum_offset_source: Text = ""
    driver_part: Text = ""
    driven_part: Text = ""
    driver_pulley: PulleyName = ""
    driven_pulley: PulleyName = ""
    driver_rides: Rides = "not looked"
    driven_rides: Rides = "not looked"
    driver_by: RideBy | None = None
    driven_by: RideBy | None = None
    driver_groove: Groove = "of its section"
    driven_groove: Groove = "of its section"
    sizes_from: Text = ""

    @model_validator(mode="after")
    def agrees(self) -> Self:
        self.diameters_agree()
        self.groove_agrees()
        self.rides_agree()
        return self

    def rides_agree(self) -> None:
        """A belt that is sunk or above is so by a length, and only some run in combination grooves."""
        for end in ENDS:
            rides, by = getattr(self, f"{end}_rides"), getattr(self, f"{end}_by")
            moved = rides in ("sunk", "above")
            if moved and by is None:
                raise refusal(
                    Message("sheet.ride-by-needed", key=f"{end}_by"), key=f"{end}_by", given="nothing"
                )
            if by is not None and not moved:
                say = Message("sheet.ride-by-alone", key=f"{end}_rides")
                raise refusal(say, key=f"{end}_by", given=by.text)
            if getattr(self, f"{end}_groove") == COMBINATION and not combination_depths(self.section):
                raise refusal(Message("sheet.combination"), key=f"{end}_groove", given=self.section)

    def diameters_agree(self) -> None:
        """Each end has one diameter, or the name of a pulley that is measured at another belt."""
        for end in ENDS:
            outside, datum = getattr(self, f"{end}_outside"), getattr(self, f"{end}_datum")
            if outside is None and datum is None and not getattr(self, f"{end}_pulley"):
                say = Message("sheet.give-diameter", outside=f"{end}_outside", datum=f"{end}_datum")
                raise refusal(say, key=f"{end}_outside", given="nothing")
            if outside is not None and datum is not None:
                say = Message("sheet.one-diameter", outside=f"{end}_outside", datum=f"{end}_datum")
                raise refusal(say, key=f"{end}_datum", given=datum.text)

    def groove_agrees(self) -> None:
        """The section is known, and how deep the belt sits in its groove."""
        try:
            groove_of(self.section)
        except InputError as fault:
            raise refusal(fault.allowed, key="section", given=self.section) from None
        if self.datum_offset is None and not has_offset(self.section):
            say = Message("sheet.no-offset", section=self.section)
            raise refusal(say, key="section", given=self.section)
        if self.datum_offset is not None and not self.datum_offset_source:
            raise refusal(Message("sheet.whose-page"), key="datum_offset_source", given="nothing")


class TeethTable(Table):
    """Gears, or the sprockets of a chain."""

    driver_teeth: Annotated[int, Field(ge=4, le=500)]
    driven_teeth: Annotated[int, Field(ge=4, le=500)]
    driver_part: Text = ""
    driven_part: Text = ""


class CountedTable(Table):
    """A ratio counted by turning the driver by hand, every plug lead off and grounded."""

    turns_in: Turns
    turns_out: Turns
    resolution: Turns

    @model_validator(mode="after")
    def agrees(self) -> Self:
        if self.resolution.measured.value >= self.turns_out.measured.value / 2:
            raise refusal(Message("sheet.too-coarse"), key="resolution", given=self.resolution.text)
        in_range(
            self.turns_out.measured.value / self.turns_in.measured.value, "turns_out", self.turns_out.text
        )
        return self


class TwoReadingsTable(Table):
    """A ratio from the speeds of both shafts, read at the same time."""

    driver: ShaftSpeed
    driven: ShaftSpeed

    @model_validator(mode="after")
    def agrees(self) -> Self:
        for key in ("driver", "driven"):
            found = getattr(self, key)
            if found.half_width == 0:
                raise refusal(Message("sheet.needs-doubt"), key=key, given=found.text)
        in_range(self.driven.measured.value / self.driver.measured.value, "driven", self.driven.text)
        return self


class VariableTable(Table):
    """A drive that can be set anywhere between two ratios, driven over driver speed."""

    least: SpeedRatio
    most: SpeedRatio

    @model_validator(mode="after")
    def agrees(self) -> Self:
        if self.least >= self.most:
            raise refusal(Message("sheet.over-least", least=self.least), key="most", given=f"{self.most:g}")
        return self


class CouplingTable(Table):
    """A joint between two shafts."""

    driver: Name = CRANKSHAFT
    driven: Name
    sense: Literal["same", "opposite"] | None = None
    slip_max: Slip | None = None
    source: Text = ""
    direct: Literal[True] | None = None
    belt: BeltTable | None = None
    gear: TeethTable | None = None
    chain: TeethTable | None = None
    counted: CountedTable | None = None
    two_readings: TwoReadingsTable | None = None
    variable: VariableTable | None = None

    @model_validator(mode="after")
    def agrees(self) -> Self:
        kind = one_of(self, COUPLING_KINDS)
        if kind in ("direct", "gear", "chain") and self.slip_max:
            say = Message("sheet.cannot-slip", kind=kind)
            raise refusal(say, key="slip_max", given=f"{self.slip_max:.3g}")
        return self


def in_range(ratio: float, key: str, given: str) -> None:
    """Refuse a ratio no shop drive has."""
    if not 0.02 <= ratio <= 50:
        raise refusal(Message("sheet.no-such-ratio"), key=key, given=given)
