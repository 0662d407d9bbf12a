"""Which tables and keys a machine sheet has; the whole of it."""

from typing import Annotated, Literal

from pydantic import Field

from snath.decisions.machine.sheet_couplings import CouplingTable
from snath.decisions.machine.sheet_engine import EngineTable
from snath.decisions.machine.sheet_fields import Name, Table, Text, choice
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
