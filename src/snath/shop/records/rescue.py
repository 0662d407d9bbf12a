"""Take out of a damaged shop all that can be read, so that it can be restored into a new one.

Rows are checked one by one as a restore would. A row that names one that cannot be read loses that name where it
may, and is left out and told where it may not. The versions are the record: where a job's own row is lost, it is
made anew from its versions under a new number.
"""

from collections.abc import Iterator
from dataclasses import asdict
from pathlib import Path
from typing import Any

from django.core.exceptions import ValidationError
from django.db import connections, models

from snath.shop.records import models as tables
from snath.shop.records import rows
from snath.shop.records.archive import Written, write_archive
from snath.shop.records.backup import whole_file
from snath.shop.records.facts import facts_of
from snath.shop.records.readable import Damaged, readable
from snath.shop.records.rows_back import record_of
from snath.shop.site.databases import another, still_opened

DAMAGED = "damaged"


def rescue(file: Path) -> Written:
    """Write everything that can be read into an archive that `restore` takes."""
    database = connections["default"].settings_dict
    as_it_is = still_opened(Path(str(database["NAME"]))) if "sqlite3" in database["ENGINE"] else database
    with another(DAMAGED, as_it_is), whole_file(file) as out:
        return write_archive(out, secrets=True, using=DAMAGED, lines=rescued_lines)


def rescued_lines(using: str, *, secrets: bool, damaged: list[Damaged]) -> Iterator[str]:
    """Every row that can be read and put back, a line a row; the others are told in `damaged`."""
    yield rows.header(secrets=secrets)
    written: dict[type[models.Model], set[str]] = {}
    for name, model in rows.BY_NAME.items():
        kept = written.setdefault(model, set())
        if name in rows.SECRET_TABLES and not secrets:
            continue
        for record in readable(model, using):
            row = record if isinstance(record, Damaged) else _row(record, written, damaged, secrets=secrets)
            if isinstance(row, Damaged):
                damaged.append(row)
                continue
            kept.add(str(row[model._meta.pk.attname]))
            yield rows.line_of(name, row)
        if model is tables.JobRecord:
            for row in _jobs_made_anew(using, kept, damaged):
                kept.add(row["id"])
                yield rows.line_of(name, row)


def _row(
    record: models.Model,
    written: dict[type[models.Model], set[str]],
    damaged: list[Damaged],
    *,
    secrets: bool,
) -> dict[str, Any] | Damaged:
    """The row as it can be put back, or why it cannot be."""
    name, key = record._meta.model_name or "", str(record.pk)
    try:
        row = rows.row_of(record, secrets=secrets)
        record_of(type(record), row)
        rows.line_of(name, row)
    except (ValueError, KeyError, TypeError, AttributeError, OverflowError, ValidationError) as fault:
        return Damaged(name, key, f"holds what its column cannot hold ({_plain(fault)})")
    for field in record._meta.concrete_fields:
        named = field.related_model
        if not isinstance(named, type) or row[field.attname] is None:
            continue
        if str(row[field.attname]) in written.get(named, ()):
            continue
        what = f"names a {named._meta.verbose_name} that cannot be read"
        if not field.null:
            return Damaged(name, key, what)
        damaged.append(Damaged(name, key, f"{what}: kept without it"))
        row[field.attname] = None
    return row


def _plain(fault: Exception) -> str:
    return "; ".join(fault.messages) if isinstance(fault, ValidationError) else str(fault)[:100]


def _jobs_made_anew(using: str, kept: set[str], damaged: list[Damaged]) -> Iterator[dict[str, Any]]:
    """A row for each job that only its versions tell of, under the next free numbers."""
    newest: dict[str, tables.JobVersion] = {}
    first: dict[str, tables.JobVersion] = {}
    for version in readable(tables.JobVersion, using):
        if isinstance(version, tables.JobVersion) and str(version.job_id) not in kept:
            key = str(version.job_id)
            first.setdefault(key, version)
            if key not in newest or version.version > newest[key].version:
                newest[key] = version
    numbers = [row.number for row in readable(tables.JobRecord, using) if isinstance(row, tables.JobRecord)]
    number = max((n for n in numbers if isinstance(n, int)), default=0)
    for key, version in newest.items():
        number += 1
        record = tables.JobRecord(
            id=version.job_id, number=number, title="made anew from its versions", version=version.version,
            opened_at=first[key].at, changed_at=version.at, waits_for="",
        )  # fmt: skip
        for column, value in asdict(facts_of(version.job_json, version.result_json)).items():
            setattr(record, column, value)
        damaged.append(Damaged("jobrecord", key, f"made anew from its versions as job {number}"))
        yield rows.row_of(record, secrets=True)
