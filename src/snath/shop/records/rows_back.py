"""JSON lines put back into an empty database: everything or nothing, every value in its own type and range."""

import json
from collections.abc import Iterable, Iterator
from datetime import datetime
from typing import Any

from django.core.exceptions import ValidationError
from django.core.management.color import no_style
from django.db import connections, models, transaction
from django.utils.timezone import is_naive

from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.shop.records import models as tables
from snath.shop.records.derived import derive
from snath.shop.records.readable import STEP
from snath.shop.records.rows import BY_NAME, FORMAT, KEPT

LONGEST_LINE = 20_000_000
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
        raise InputError("database", using, Message("records.empty-database"))
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
                    raise InputError("line 1", data["format"], Message("records.of-format", format=FORMAT))
                continue
            model = BY_NAME[data["table"]]
            record = record_of(model, data["row"])
        except InputError:
            raise
        except (ValueError, KeyError, TypeError, AttributeError, ValidationError) as fault:
            raise InputError(
                f"line {number}", text, Message("records.row-of-format", format=FORMAT, why=str(fault))
            ) from None
        if order[model] < reached:
            raise InputError(f"line {number}", data["table"], Message("records.table-order"))
        reached = order[model]
        yield model, record


def record_of(model: type[models.Model], row: dict[str, Any]) -> models.Model:
    """One row, every value in its own type and range.

    Raises
    ------
    ValueError, KeyError, ValidationError
        Where the table has no such column, or the column cannot hold the value.
    """
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
