"""Every table as JSON lines, in one order and one spelling, whatever database they come from.

One line a row: {"table": ..., "row": {...}}, first the line that names the format. The same records
give the same bytes on SQLite and PostgreSQL. Words to search by and touched jobs are worked out anew
on reading, so they are not written.
"""

import json
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from datetime import datetime
from itertools import chain
from typing import Any

from django.core.exceptions import ValidationError
from django.core.management.color import no_style
from django.db import connections, models, transaction
from django.utils.timezone import is_naive

from snath.quantities.errors import InputError
from snath.shop.records import models as tables
from snath.shop.records.chain import moment
from snath.shop.records.facts import touches_of
from snath.shop.records.search import entries_of

FORMAT = "snath-records-1"
STEP = 500
LONGEST_LINE = 20_000_000
KEPT: tuple[type[models.Model], ...] = (  # parents before children
    tables.Person,
    tables.ShopSettings,
    tables.ShopRule,
    tables.InstrumentRecord,
    tables.InstrumentCheck,
    tables.StockPart,
    tables.Customer,
    tables.MachineRecord,
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
WORK = (  # any row of these, and a database is in use
    tables.Customer,
    tables.MachineRecord,
    tables.JobRecord,
    tables.JobVersion,
    tables.InstrumentRecord,
    tables.ShopRule,
    tables.StockPart,
    tables.Draft,
)


def lines(using: str, *, secrets: bool) -> Iterator[str]:
    """The whole database, a line a row, each with its end."""
    yield _line({"format": FORMAT, "secrets": secrets})
    for name, model in BY_NAME.items():
        if name in SECRET_TABLES and not secrets:
            continue
        rows = model._default_manager.using(using).order_by("pk")
        for record in chain.from_iterable(_groups(rows)):
            row = {
                field.attname: _plain(getattr(record, field.attname))
                for field in model._meta.concrete_fields
                if secrets or (name, field.attname) not in SECRET_COLUMNS
            }
            yield _line({"table": name, "row": row})


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


def is_empty(using: str) -> bool:
    """Whether nobody has kept anything here yet, or been given a password."""
    people = tables.Person.objects.using(using).exclude(kind=tables.Kind.LOCAL)
    return not (people.exists() or any(model._default_manager.using(using).exists() for model in WORK))


def read_lines(using: str, given: Iterable[str]) -> int:
    """Put a whole database back: everything or nothing, into one that holds no work.

    Raises
    ------
    InputError
        Naming the line that is not as this format has it.
    """
    if not is_empty(using):
        raise InputError("database", using, "must be empty: choose another data folder")
    count = 0
    with transaction.atomic(using=using):
        for model in reversed(KEPT):
            model._default_manager.using(using)._raw_delete(using)
        for model, group in _grouped(given):
            model._default_manager.using(using).bulk_create(group)
            count += len(group)
        derive(using)
        with connections[using].cursor() as cursor:
            for statement in connections[using].ops.sequence_reset_sql(no_style(), list(KEPT)):
                cursor.execute(statement)
    return count


def _grouped(given: Iterable[str]) -> Iterator[tuple[type[models.Model], list[models.Model]]]:
    current: type[models.Model] | None = None
    group: list[models.Model] = []
    for model, record in _parsed(given):
        if model is not current or len(group) == STEP:
            if current and group:
                yield current, group
            current, group = model, []
        group.append(record)
    if current and group:
        yield current, group


def _parsed(given: Iterable[str]) -> Iterator[tuple[type[models.Model], models.Model]]:
    order = {model: place for place, model in enumerate(KEPT)}
    reached = 0
    for number, text in enumerate(given, 1):
        try:
            data = json.loads(text)
            if number == 1:
                if data["format"] != FORMAT:
                    raise InputError("line 1", data["format"], f"must be {FORMAT}")
                continue
            model = BY_NAME[data["table"]]
            record = _record(model, data["row"])
        except InputError:
            raise
        except (ValueError, KeyError, TypeError, AttributeError, ValidationError) as fault:
            raise InputError(f"line {number}", text, f"must be a row of {FORMAT} ({fault})") from None
        if order[model] < reached:
            raise InputError(f"line {number}", data["table"], "must not come after a table that needs it")
        reached = order[model]
        yield model, record


def _record(model: type[models.Model], row: dict[str, Any]) -> models.Model:
    """One row, every value in its own type and range."""
    known = {field.attname: field for field in model._meta.concrete_fields}
    unknown = set(row) - set(known)
    if unknown:
        raise KeyError(f"no column {sorted(unknown)[0]}")
    values: dict[str, Any] = {}
    for name, value in row.items():
        field = known[name]
        plain: models.Field[Any, Any] = getattr(field, "target_field", field)
        values[name] = plain.to_python(value)
        if values[name] is None and not field.null:
            raise ValueError(f"{name} must be given")
        if field.choices and values[name] and values[name] not in dict(field.flatchoices):
            raise ValueError(f"{name} is not one of its choices")
        plain.run_validators(values[name])  # lengths, ranges, and that a hash is a hash
        if isinstance(values[name], str) and "\x00" in values[name]:
            raise ValueError(f"{name} holds a zero byte")
        if isinstance(values[name], datetime) and is_naive(values[name]):
            raise ValueError(f"{name} needs an offset from UTC")
    return model(**values)


def derive(using: str) -> None:
    """Work out anew what follows from the records: words to search by, and jobs touched."""
    tables.SearchWord.objects.using(using).all().delete()
    tables.JobTouch.objects.using(using).all().delete()
    for model, beside in (
        (tables.Customer, ()),
        (tables.MachineRecord, ("customer",)),
        (tables.JobRecord, ("customer", "machine", "machine__customer")),
    ):
        rows = model._default_manager.using(using).order_by("pk")
        for group in _groups(rows.select_related(*beside) if beside else rows):
            words = [word for record in group for word in entries_of(record)]
            tables.SearchWord.objects.using(using).bulk_create(words, batch_size=2000)
    for group in _groups(tables.JobVersion.objects.using(using).order_by("pk")):
        touches = [
            tables.JobTouch(job_id=version.job_id, kind=kind, key=key)
            for version in group
            for kind, key in sorted(touches_of(version.job_json))
        ]
        tables.JobTouch.objects.using(using).bulk_create(touches, batch_size=2000, ignore_conflicts=True)


def _groups(rows: Any) -> Iterator[list[Any]]:
    """Rows by their key, few at a time, so that neither database must hold a cursor open."""
    group = list(rows[:STEP])
    while group:
        yield group
        group = list(rows.filter(pk__gt=group[-1].pk)[:STEP])
