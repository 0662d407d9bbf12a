"""Which tables and keys a machine sheet has; the whole of it."""

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from snath.decisions.machine.sheet_couplings import CouplingTable
from snath.decisions.machine.sheet_engine import EngineTable
from snath.decisions.machine.sheet_fields import Name, Table, Text, choice, refusal
from snath.decisions.machine.sheet_members import MemberTable
from snath.rules.scope import MACHINE_KINDS, USES


class SheetTable(Table):
    """The whole sheet."""

    sheet: Literal[1] = 1
    decimal_mark: Literal[".", ","] = "."
    name: Name
    kind: Annotated[str, choice(MACHINE_KINDS)]
    use: Annotated[str, choice(USES)] = "consumer"
    made: Annotated[int, Field(ge=1850, le=2200)] | None = None
    serial: Text = ""
    notes: Text = ""
    engine: EngineTable
    coupling: Annotated[list[CouplingTable], Field(max_length=31)] = Field(default_factory=list)
    member: Annotated[list[MemberTable], Field(max_length=64)] = Field(default_factory=list)

    @model_validator(mode="after")
    def agrees(self) -> Self:
        if not self.member and self.engine.rated_max is None and self.engine.maker_no_load is None:
            say = "nothing on this sheet has a limit: add a member, engine.rated_max or engine.maker_no_load"
            raise refusal(say, key="member", given="nothing")
        if self.kind == "electric rotary mower" and self.engine.prime_mover == "engine":
            say = "an electric rotary mower has a mains motor or a battery motor: set engine.prime_mover"
            raise refusal(say, key="kind", given=self.kind)
        return self
