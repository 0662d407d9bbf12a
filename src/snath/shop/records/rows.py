"""Every table as JSON lines, in one order and one spelling, whatever database they come from.

One line a row: {"table": ..., "row": {...}}, first the line that names the format. The same records
give the same bytes on SQLite and PostgreSQL. Words to search by and touched jobs are worked out anew
on reading, so they are not written.
"""

import json
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from typing import Any

from django.db import DatabaseError, connections, models

from snath.shop.records import models as tables
from snath.shop.records.chain import moment
from snath.shop.records.readable import STEP, Damaged, readable

FORMAT = "snath-records-1"
KEPT: tuple[type[models.Model], ...] = (  # parents before children
    tables.Person,
    tables.ShopSettings,
    tables.ShopRule,
    tables.InstrumentRecord,
    tables.InstrumentCheck,
    tables.StockPart,
    tables.Customer,
    tables.MachineRecord,
    tables.FleetEntry,
    tables.EarlierSheet,
    tables.JobRecord,
    tables.JobVersion,
    tables.ChainHead,
    tables.Attachment,
    tables.Draft,
    tables.AuditEntry,
    tables.Pairing,
)
SECRET_COLUMNS, SECRET_TABLES = {("person", "password")}, {"pairing"}  # in a backup, not in what is handed on
BY_NAME = {model._meta.model_name or "": model for model in KEPT}


def lines(
    using: str,
    *,
    secrets: bool,
    damaged: list[Damaged] | None = None,
    tables: dict[str, type[models.Model]] = BY_NAME,
) -> Iterator[str]:
    """Every row of the database that can be read, a line a row, each with its end.

    Parameters
    ----------
    using : str
        The database.
    secrets : bool
        Whether passwords' hashes and pairings go along.
    damaged : list of Damaged or None
        Gathers the rows that cannot be read; None where one of them is an error.
    tables : dict of name to type of Model
        Which tables, as they are.
    """
    yield header(secrets=secrets)
    for name, model in tables.items():
        if name in SECRET_TABLES and not secrets:
            continue
        for record in readable(model, using):
            if isinstance(record, Damaged):
                if damaged is None:
                    raise DatabaseError(str(record))
                damaged.append(record)
            else:
                yield line_of(name, row_of(record, secrets=secrets))


def header(*, secrets: bool) -> str:
    """The first line, which names the format."""
    return _line({"format": FORMAT, "secrets": secrets})


def line_of(table: str, row: dict[str, Any]) -> str:
    """One row as a line."""
    return _line({"table": table, "row": row})


def row_of(record: models.Model, *, secrets: bool) -> dict[str, Any]:
    """A row's columns as JSON has them."""
    name = record._meta.model_name
    return {
        field.attname: _plain(getattr(record, field.attname))
        for field in record._meta.concrete_fields
        if secrets or (name, field.attname) not in SECRET_COLUMNS
    }


def _line(data: dict[str, Any]) -> str:
    return json.dumps(data, ensure_ascii=False, allow_nan=False, separators=(",", ":")) + "\n"


def _plain(value: Any) -> Any:
    if value is None or isinstance(value, bool | int | float | str):
        return value
    return moment(value) if isinstance(value, datetime) else str(value)


@contextmanager
def one_moment(using: str) -> Iterator[None]:
    """Read one state of the database while others go on saving."""
    connection = connections[using]
    if connection.in_atomic_block:  # the caller holds a state of its own
        yield
        return
    connection.ensure_connection()
    begin = "BEGIN" if connection.vendor == "sqlite" else "BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY"
    with connection.cursor() as cursor:
        cursor.execute(begin)
    try:
        yield
    finally:
        with connection.cursor() as cursor:
            cursor.execute("ROLLBACK")


def in_groups(rows: Any) -> Iterator[list[Any]]:
    """Rows by their key, few at a time, so that neither database must hold a cursor open."""
    group = list(rows[:STEP])
    while group:
        yield group
        group = list(rows.filter(pk__gt=group[-1].pk)[:STEP])
