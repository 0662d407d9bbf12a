"""Tell what a fleet says, in lines for the terminal and as JSON."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any

from snath.quantities.message import Amount, Message, Value
from snath.shop.answers.facts import fault_data as told_fault
from snath.shop.cli.answer import facts, reader, said
from snath.shop.fleet.columns import column_of, name_of
from snath.shop.fleet.faults import CellFault, Fleet, in_words
from snath.shop.fleet.moved import gone
from snath.shop.fleet.run import Counted
from snath.shop.fleet.worked import Row

SHOWN = 20
MOVES = {
    "lower": Message("fleet.lower"),
    "higher": Message("fleet.higher"),
    "shut": Message("fleet.shut"),
    "opened": Message("fleet.opened"),
    "word": Message("fleet.word"),
    "new": Message("fleet.new"),
}


def fleet_data(
    read: Fleet,
    found: Counted,
    rows: Sequence[Row],
    out: Path | None,
    earlier: Sequence[Mapping[str, Any]] | None,
) -> dict[str, Any]:
    """The answer as JSON has it; the rows where no table was written, what moved where there is an earlier one."""
    data: dict[str, Any] = {
        **asdict(found),
        "faults": [fault_data(one) for one in read.faults],
        "not_read": list(read.not_read),
        "skipped": list(read.skipped),
        "notes": facts([Message("fleet.alone")]),
        "out": None if out is None else str(out),
    }
    if out is None:
        data["rows"] = list(rows)
    if earlier is not None:
        words = [word for row in rows for word in _moves(row)]
        data["moved"] = {kind: words.count(kind) for kind in MOVES} | {"gone": len(gone(rows, earlier))}
    return data


def fault_data(fault: CellFault) -> dict[str, Any]:
    """One fault as JSON has it."""
    place = {
        "sheet": fault.sheet,
        "row": fault.line,
        "column": fault.column or None,
        "heading": fault.heading or None,
    }
    return {**place, **told_fault(in_words(fault.fault, reader()), reader())}


def fleet_lines(
    read: Fleet, found: Counted, rows: Sequence[Row], data: Mapping[str, Any], months: int
) -> list[str]:
    """The lines of the terminal: counts, what stands out, what moved, and what was not read."""
    told = [
        Message(
            "fleet.counts",
            machines=found.machines,
            shut=found.shut,
            over=found.over,
            due=found.due,
            failed=found.not_worked,
        )
    ]
    told += _some([Message("fleet.is-shut", **_of(row)) for row in rows if row["shut"]])
    told += _some([Message("fleet.ran-over", **_of(row)) for row in rows if row["over"]])
    told += _some([Message("fleet.not-worked", **_of(row)) for row in rows if row["error"]])
    if "moved" in data:
        told.append(Message("fleet.moved", **data["moved"]))
        told += _some([_moved_row(row) for row in rows if row["moved"] not in ("", "new")])
    if read.faults:
        told.append(Message("fleet.faults", count=len(read.faults)))
        told += _some([fault.message(reader()) for fault in read.faults])
    told += [_not_read(head) for head in read.not_read]
    if read.skipped:
        told.append(Message("fleet.skipped", count=len(read.skipped), first=read.skipped[0]))
    told += [Message("fleet.alone"), Message("fleet.due-rule", months=months)]
    if data["out"] is not None:
        told.append(Message("fleet.written", out=data["out"]))
    return [said(one) for one in told]


def _moved_row(row: Row) -> Message:
    moves = tuple(MOVES[word] for word in _moves(row))
    return Message("fleet.moved-row", moved=moves, before=_figure(row["ceiling_before_rpm"]), **_of(row))


def _moves(row: Row) -> list[str]:
    return [word for word in row["moved"].split(", ") if word]


def _not_read(head: str) -> Message:
    column = column_of(head)
    if not column:
        return Message("fleet.not-read", heading=head)
    return Message("fleet.column-twice", heading=head, column=name_of(column, reader().language))


def _some(lines: list[Message]) -> list[Message]:
    more = [Message("fleet.more", count=len(lines) - SHOWN)] if len(lines) > SHOWN else []
    return [*lines[:SHOWN], *more]


def _of(row: Row) -> dict[str, Value]:
    name = " ".join(part for part in (row["number"], row["machine"], row["serial"]) if part)
    return {
        "name": name or row["place"],
        "ceiling": _figure(row["ceiling_rpm"]),
        "reading": _figure(row["reading_rpm"]),
        "why": (row["error"] or row["why"] or "").partition("\n")[0],
    }


def _figure(rpm: float | None) -> Value:
    return "-" if rpm is None else Amount(rpm / 60, "rotation")
