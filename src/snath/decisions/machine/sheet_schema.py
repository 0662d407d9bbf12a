"""Define the whole of a machine sheet: its tables and keys."""

from typing import Annotated, Literal, Self

from pydantic import BeforeValidator, Field, model_validator

from snath.decisions.machine.clutch import RIDERS
from snath.decisions.machine.sheet_couplings import CouplingTable
from snath.decisions.machine.sheet_engine import EngineTable
from snath.decisions.machine.sheet_fields import (
    CuttingWidth,
    Made,
    Name,
    Power,
    Table,
    Text,
    Weight,
    choice,
    refusal,
)
from snath.decisions.machine.sheet_members import MemberTable
from snath.quantities.message import Message
from snath.rules.scope import MACHINE_KINDS, USES, design_of, use_word

MOST_COUPLINGS, MOST_MEMBERS = 31, 64


class SheetTable(Table):
    """The whole sheet."""

    sheet: Literal[1] = 1
    decimal_mark: Literal[".", ","] = "."
    name: Name
    kind: Annotated[str, choice(MACHINE_KINDS)]
    product: Literal["consumer", "commercial"] | None = None
    use: Annotated[str, choice(USES), BeforeValidator(use_word)] = "at home"
    made: Made | None = None
    cutting_width: CuttingWidth | None = None
    weight: Weight | None = None
    power: Power | None = None
    serial: Text = ""
    notes: Text = ""
    engine: EngineTable
    coupling: Annotated[list[CouplingTable], Field(max_length=MOST_COUPLINGS)] = Field(default_factory=list)
    member: Annotated[list[MemberTable], Field(max_length=MOST_MEMBERS)] = Field(default_factory=list)

    @model_validator(mode="after")
    def agrees(self) -> Self:
        if not self.member and self.engine.rated_max is None and self.engine.maker_no_load is None:
            raise refusal(Message("sheet.nothing-limited"), key="member", given="nothing")
        if self.product == "consumer" and design_of(self.kind, "") == "commercial":
            raise refusal(
                Message("sheet.commercial-by-kind", kind=self.kind), key="product", given=self.product
            )
        if self.kind in RIDERS and self.engine.clutch is None:
            raise refusal(Message("sheet.clutch-needed"), key="engine.clutch", given="nothing")
        if self.kind == "electric rotary mower" and self.engine.prime_mover == "engine":
            raise refusal(Message("sheet.electric-has-motor"), key="kind", given=self.kind)
        return self
