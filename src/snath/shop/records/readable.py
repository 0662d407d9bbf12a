"""Read every row that can be read, and name those that cannot: one bad byte must not lock the rest in.

Rows come in groups, as usual. Where a group fails, the table is gone through row by row: on SQLite by the number
each row lies under, which reaches everything but the damaged page itself; elsewhere by key.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime
from itertools import count
from typing import Any
from uuid import UUID

from django.db import DatabaseError, connections, models

from snath.shop.records.disk import why_it_cannot_keep

STEP = 500  # rows read at a time
LOST = 20_000  # numbers without a readable row after which a table whose end is unknown counts as read
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
UNREADABLE = (DatabaseError, ValueError, TypeError, ArithmeticError)


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
    for number in _numbers(connection, model._meta.db_table):
        found = _row(model, using, name, f"row {number}", rowid=number)
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
        return Damaged(name, key, str(fault).splitlines()[0][:200] if str(fault) else type(fault).__name__)


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


def _raise_unless_damage(fault: Exception) -> None:
    """Raise what a busy, full or absent database says: its rows are whole, and none may be called damaged for it."""
    if isinstance(fault, DatabaseError) and why_it_cannot_keep(fault) not in ("damaged", "failing"):
        raise fault


def _numbers(connection: Any, table: str) -> Iterator[int]:
    """The numbers under which rows may lie."""
    with connection.cursor() as cursor:
        try:
            cursor.execute(f"SELECT max(rowid) FROM {connection.ops.quote_name(table)}")
            yield from range(1, (cursor.fetchone()[0] or 0) + 1)
        except DatabaseError as fault:  # the table's end is damaged: go on until nothing is found for long
            _raise_unless_damage(fault)
            last = 0
            for number in count(1):
                if number - last > LOST:
                    return
                try:
                    cursor.execute(
                        f"SELECT 1 FROM {connection.ops.quote_name(table)} WHERE rowid = %s", [number]
                    )
                    if cursor.fetchone() is None:
                        continue
                    last = number
                except DatabaseError as fault:
                    _raise_unless_damage(fault)
                yield number


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
