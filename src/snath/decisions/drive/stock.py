"""Describe what lies on the shop's shelf."""

from dataclasses import dataclass

from snath.decisions.drive.belt import Belt
from snath.quantities.errors import InputError
from snath.quantities.message import Message


@dataclass(frozen=True, slots=True)
class StockSheave:
    """One sheave on the shelf.

    Attributes
    ----------
    number : str
        The shop's stock number.
    count : int
        Pieces of it on the shelf.
    section : str
        Groove, "A".
    outside, offset : float
        Outside diameter, and outside less datum diameter. [m]
    bore : str
        Normal form, see `bore_of`.
    hub_offset : float
        Groove's middle from the hub's face. [m]
    cast : bool
        Cast iron rather than stamped steel.
    grooves : int
    part : str
        The machine maker's number, where it is that part.
    price : float
    place : str
        Where it lies.
    """

    number: str
    count: int
    section: str
    outside: float
    offset: float
    bore: str
    hub_offset: float
    cast: bool
    grooves: int
    part: str
    price: float
    place: str


@dataclass(frozen=True, slots=True)
class StockBelt:
    """One belt on the shelf: its stock number, the belt with its price, and where it hangs."""

    number: str
    belt: Belt
    price: float
    place: str


@dataclass(frozen=True, slots=True)
class RowFault:
    """A row that was left out, and why."""

    table: str
    line: int
    fault: InputError

    @property
    def message(self) -> Message:
        """The fault with its place, as it is told."""
        given, allowed = self.fault.given, self.fault.allowed
        return Message(
            "stock.row", table=self.table, line=self.line, field=self.fault.field, given=given, fault=allowed
        )


@dataclass(frozen=True, slots=True)
class Stock:
    """The shelf, the rows that could not be read, and remarks on rows that could."""

    sheaves: tuple[StockSheave, ...] = ()
    belts: tuple[StockBelt, ...] = ()
    faults: tuple[RowFault, ...] = ()
    remarks: tuple[Message, ...] = ()

    @property
    def items(self) -> tuple[StockSheave | StockBelt, ...]:
        """Sheaves, then belts."""
        return (*self.sheaves, *self.belts)
