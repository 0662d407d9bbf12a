"""Read every row that can be read, and name those that cannot: one bad byte must not lock the rest in.

Rows come in groups, as usual. Where a group fails, the table is gone through row by row: on SQLite by the number
each row lies under, which reaches everything but the damaged page itself; elsewhere by key.
"""

import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from uuid import UUID

from django.db import DatabaseError, connections, models

from snath.shop.records.disk import why_it_cannot_keep

STEP = 500  # rows read at a time
LOST = 20_000  # numbers in a row that reach nothing, after which no further one is tried
LARGEST = 2**63 - 1  # number of a row in SQLite
HELD: tuple[tuple[type, Any], ...] = (  # what columns give, the more special first
    (models.CharField, str),
    (models.TextField, str),
    (models.DateTimeField, datetime),
    (models.DateField, date),
    (models.UUIDField, UUID),
    (models.BooleanField, bool),
    (models.IntegerField, int),
    (models.FloatField, float | int),
)
# What a damaged row ends in, wherever it is turned into what its columns hold.
UNREADABLE = (DatabaseError, ValueError, TypeError, AttributeError, ArithmeticError)


@dataclass(frozen=True, slots=True)
class Damaged:
    """A row that cannot be read, or that cannot be put back.

    Attributes
    ----------
    table, key : str
        Which row: its key, or "row N" by its place in the file.
    what : str
        What the database says of it.
    """

    table: str
    key: str
    what: str

    def __str__(self) -> str:
        return f"{self.table} {self.key}: {self.what}"


def readable(model: type[models.Model], using: str) -> Iterator[models.Model | Damaged]:
    """Every row of a table by its key; from the first group that fails on, row by row as they lie.

    Parameters
    ----------
    model : type of Model
        The table.
    using : str
        The database.
    """
    rows = model._default_manager.using(using).order_by("pk")
    given: set[Any] = set()
    try:
        group = list(rows[:STEP])
        while group:
            yield from (_fitting(row) for row in group)
            given.update(row.pk for row in group)
            group = list(rows.filter(pk__gt=group[-1].pk)[:STEP])
    except UNREADABLE as fault:
        _raise_unless_damage(fault)
        yield from _one_by_one(model, using, given)


def _one_by_one(model: type[models.Model], using: str, given: set[Any]) -> Iterator[models.Model | Damaged]:
    name = model._meta.model_name or ""
    connection = connections[using]
    if connection.vendor != "sqlite":
        for key in model._default_manager.using(using).order_by("pk").values_list("pk", flat=True):
            if key not in given:
                yield _row(model, using, name, str(key), pk=key)
        return
    connection.ensure_connection()
    for lies in _lying(connection.connection, name, model._meta.db_table):
        found = _row(model, using, name, f"row {lies}", rowid=lies) if isinstance(lies, int) else lies
        if found is not None and (isinstance(found, Damaged) or found.pk not in given):
            yield found


def _row(model: type[models.Model], using: str, name: str, key: str, **by: Any) -> Any:
    """One row, what is wrong with it, or None where there is none."""
    rows = model._default_manager.using(using)
    try:
        if "rowid" in by:
            found = rows.extra(where=["rowid = %s"], params=[by["rowid"]]).first()
        else:
            found = rows.filter(**by).first()
        return None if found is None else _fitting(found)
    except UNREADABLE as fault:
        _raise_unless_damage(fault)
        return Damaged(name, key, _said(fault))


def _fitting(row: models.Model) -> models.Model | Damaged:
    """The row, or what is wrong with it where a damaged page gave back something else than its columns hold."""
    for field in row._meta.concrete_fields:
        value = getattr(row, field.attname)
        plain = getattr(field, "target_field", field)
        held = next((type_ for kind, type_ in HELD if isinstance(plain, kind)), object)
        if not (isinstance(value, held) or (value is None and field.null)):
            what = f"{field.attname} holds what its column cannot hold"
            return Damaged(row._meta.model_name or "", str(row.pk), what)
    return row


def _said(fault: Exception) -> str:
    return str(fault).splitlines()[0][:200] if str(fault) else type(fault).__name__


def _raise_unless_damage(fault: Exception) -> None:
    """Raise what a busy, full or absent database says: its rows are whole, and none may be called damaged for it."""
    if isinstance(fault, DatabaseError | sqlite3.Error) and why_it_cannot_keep(fault) not in (
        "damaged",
        "failing",
    ):
        raise fault


def _lying(line: sqlite3.Connection, name: str, table: str) -> Iterator[int | Damaged]:
    """The numbers of a table's rows as they lie, and what cannot be reached.

    The database is asked for the next row, and, because a damaged page may lie, for each number that it passes over;
    past a page that cannot be read number by number, until nothing was found for long. What lies behind that is
    reached from the end: a damaged number may stand for any.
    """
    last, lost = 0, list[Damaged]()
    while True:
        following, begun = _number(line, table, "> ? ORDER BY rowid", last), last
        passed_over = following if isinstance(following, int) else LARGEST
        for number in range(last + 1, min(passed_over, last + LOST + 1)):
            there = _number(line, table, "= ?", number)
            if isinstance(there, str):
                lost.append(Damaged(name, f"row {number}", there))
            elif there is not None:
                yield from lost
                lost.clear()
                yield (last := there)
                if not isinstance(following, int):
                    break
        if isinstance(following, int):
            yield from lost
            lost.clear()
            yield (last := following)
        elif last == begun:
            break
    behind, before = list[int](), LARGEST
    while isinstance(one := _number(line, table, "< ? ORDER BY rowid DESC", before), int) and one > last:
        behind.append(one)
        before = one
    if lost:
        whereto = f"row {before - 1}" if behind else "the end"
        yield Damaged(name, f"{lost[0].key} to {whereto}", lost[0].what)
    yield from reversed(behind)


def _number(line: sqlite3.Connection, table: str, where: str, number: int) -> int | str | None:
    """The number of the first row there, None where there is none, and in words why it cannot be reached."""
    try:
        row = line.execute(f'SELECT rowid FROM "{table}" WHERE rowid {where} LIMIT 1', [number]).fetchone()
    except (sqlite3.Error, *UNREADABLE) as fault:
        _raise_unless_damage(fault)
        return _said(fault)
    if row is None:
        return None
    there = int(row[0])
    held = {">": there > number, "=": there == number, "<": there < number}[where[0]]
    return there if held else "database disk image is malformed: its rows are out of order"


def in_ranges(damaged: list[Damaged]) -> list[Damaged]:
    """The same with neighbouring rows of one table and one fault told together."""
    told: list[Damaged] = []
    for one in damaged:
        before = told[-1] if told else None
        if before and (before.table, before.what) == (one.table, one.what):
            told[-1] = Damaged(one.table, f"{before.key.split(' to ')[0]} to {one.key}", one.what)
        else:
            told.append(one)
    return told
