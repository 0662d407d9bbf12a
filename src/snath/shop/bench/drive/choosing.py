"""Which drives there are for a job, within the time a page may take; and one of them taken for good."""

import time
from dataclasses import dataclass, replace

from snath.decisions.drive.choose import Choices, choose, pieces
from snath.decisions.drive.confirm import Drive
from snath.decisions.drive.frame import Frame
from snath.decisions.drive.orders import is_order, sold_for
from snath.decisions.drive.stock import Stock, StockSheave
from snath.decisions.job.job import Job, Stage
from snath.decisions.machine.parts import Machine
from snath.decisions.machine.sheet import describes, read_sheet
from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.shop.bench.drive.kept_route import (
    Picked,
    frame_of,
    refitted,
    route_of,
    with_picked,
    with_route,
)
from snath.shop.bench.drive.new_sheet import new_sheet
from snath.shop.bench.drive.stock_rows import numbered
from snath.shop.bench.jobs.start import on_new_machine

SECONDS = 3.0  # a page may search; what it has not seen by then it says
MOST_PULLEYS = 1_000  # that could sit on one frame; every two of them are measured against each other
ROUNDING = 1e-9  # m


def drives(job: Job, frame: Frame, stock: Stock) -> Choices:
    """What can be built from stock, as far as it can be found in the time."""
    end = time.monotonic() + SECONDS
    usable = _usable(stock, frame)
    few = replace(stock, sheaves=usable[:MOST_PULLEYS])
    found = choose(job, frame, few, go_on=lambda: time.monotonic() < end)
    return replace(found, exhaustive=found.exhaustive and len(usable) <= MOST_PULLEYS)


def with_orders(stock: Stock, frame: Frame) -> Stock:
    """The stock with everything beside it that is sold for this frame and could be ordered."""
    sold = sold_for(frame)
    return replace(stock, sheaves=(*stock.sheaves, *sold.sheaves), belts=(*stock.belts, *sold.belts))


def _usable(stock: Stock, frame: Frame) -> tuple[StockSheave, ...]:
    """Pulleys that could sit somewhere on this frame by their bore and size."""
    seats = (frame.driver, *frame.loaded)
    return tuple(
        s
        for s in stock.sheaves
        if any(p.bore in ("", s.bore) and s.outside <= p.room + ROUNDING for p in seats)
    )


@dataclass(frozen=True, slots=True)
class Taken:
    """One drive with what it was chosen from."""

    frame: Frame
    found: Choices
    drive: Drive


def taken(job: Job, stock: Stock, wanted: tuple[str, ...]) -> Taken:
    """The drive of just these pieces on the machine and route of this job.

    Raises
    ------
    InputError
        If one of them is not in stock, or they are no drive for this machine any more.
    """
    frame = frame_of(job)
    if any(map(is_order, wanted)):
        stock = with_orders(stock, frame)
    own = numbered(stock, wanted)
    there = {item.number for item in own.items}
    for number in wanted:
        if number and number not in there:
            raise InputError("stock number", number, Message("fault.not-in-stock"))
    found = drives(job, frame, own)
    for drive in found.drives:
        if pieces(drive.candidate) == wanted:
            return Taken(frame, found, drive)
    raise InputError("drive", ", ".join(filter(None, wanted)), Message("fault.no-drive-now"))


@dataclass(frozen=True, slots=True)
class Fitted:
    """A job with a drive in it, and the sheet for its machine on the shelf; empty where none can say it."""

    job: Job
    machine: Machine
    sheet: str


def fit(job: Job, stock: Stock, wanted: tuple[str, ...], *, version: int, sheet: str) -> Fitted:
    """The job with that drive on its machine and its route, and the drive it was found with kept beside.

    Readings as left were taken with the drive before; they stay in the version before.
    """
    one = taken(job, stock, wanted)
    machine = one.drive.machine
    # another job may have changed the shelf's sheet
    text = new_sheet(sheet, job.machine, machine) if describes(sheet, job.machine) else ""
    if text and not _as_worn(one):
        machine = read_sheet(text)
    own = numbered(with_orders(stock, one.frame) if any(map(is_order, wanted)) else stock, wanted)
    names = tuple(position.name for position in one.found.problem.positions)
    fresh = on_new_machine(job, machine)
    fresh = with_route(fresh, refitted(route_of(job), one.drive, names))
    fresh = with_picked(fresh, Picked(version, wanted, own.sheaves, own.belts))
    return Fitted(replace(fresh, as_left=Stage()), machine, text)


def _as_worn(one: Taken) -> bool:
    """Whether a groove that stays is worn: the machine then has ratios no sheet can state."""
    return any(choice.ride for choice in one.drive.candidate.choices)
