"""Tell what a fleet says, line by line."""

from collections.abc import Sequence
from dataclasses import asdict

from snath.quantities.message import Amount, Message, Value
from snath.shop.answers.fleet import FleetAnswer
from snath.shop.fleet.columns import column_of, name_of
from snath.shop.fleet.faults import Fleet
from snath.shop.fleet.worked import Row
from snath.words.render import Locale

SHOWN = 20
MOVES = {
    "lower": Message("fleet.lower"),
    "higher": Message("fleet.higher"),
    "shut": Message("fleet.shut"),
    "opened": Message("fleet.opened"),
    "word": Message("fleet.word"),
    "new": Message("fleet.new"),
}


def fleet_head(found: FleetAnswer) -> Message:
    """How many machines there are, and how many of them stand out."""
    return Message(
        "fleet.counts",
        machines=found.machines,
        shut=found.shut,
        over=found.over,
        due=found.due,
        failed=found.not_worked,
    )


def fleet_lines(
    read: Fleet, found: FleetAnswer, rows: Sequence[Row], months: int, locale: Locale
) -> list[Message]:
    """What stands out, what moved, and what was not read."""
    told: list[Message] = []
    told += _some([Message("fleet.is-shut", **_of(row)) for row in rows if row["shut"]])
    told += _some([Message("fleet.ran-over", **_of(row)) for row in rows if row["over"]])
    told += _some([Message("fleet.not-worked", **_of(row)) for row in rows if row["error"]])
    if found.moved is not None:
        told.append(Message("fleet.moved", **asdict(found.moved)))
        told += _some([_moved_row(row) for row in rows if row["moved"] not in ("", "new")])
    if read.faults:
        told.append(Message("fleet.faults", count=len(read.faults)))
        told += _some([fault.message(locale) for fault in read.faults])
    told += [_not_read(head, locale.language) for head in read.not_read]
    if read.skipped:
        told.append(Message("fleet.skipped", count=len(read.skipped), first=read.skipped[0]))
    told += [Message("fleet.alone"), Message("fleet.due-rule", months=months)]
    if found.out is not None:
        told.append(Message("fleet.written", out=found.out))
    return told


def _moved_row(row: Row) -> Message:
    moves = tuple(MOVES[word] for word in row["moved"].split(", "))
    return Message("fleet.moved-row", moved=moves, before=_figure(row["ceiling_before_rpm"]), **_of(row))


def _not_read(head: str, language: str) -> Message:
    column = column_of(head)
    if not column:
        return Message("fleet.not-read", heading=head)
    return Message("fleet.column-twice", heading=head, column=name_of(column, language))


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
