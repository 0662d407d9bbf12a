"""Bring the tables up to what this program needs: first a copy, then a trial on another copy, then in earnest.

The copy stays in the data folder, so that a shop whose new tables turn out wrong can go back with the program it had:
of a file the file itself, of a PostgreSQL database every row, read as the older tables have them, in an archive that
the older program restores. One process changes tables at a time, and none while others serve from them.
"""

import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.db import DEFAULT_DB_ALIAS, DatabaseError, connections, transaction
from django.db.migrations.executor import MigrationExecutor

from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.shop.site.benches import Lock, changing, others
from snath.shop.site.databases import another, throwaway

COPIES = 5  # from before a change of the tables that are kept
NAME = "before-new-tables-"
TRIAL = "trial"
OURS = "records"


def migrate() -> None:
    """Bring the tables up to date.

    Raises
    ------
    InputError
        Where others work with the tables, a newer program has changed them, or the trial fails; the database is as it
        was then.
    """
    connection = connections[DEFAULT_DB_ALIAS]
    with changing(connection):
        executor = MigrationExecutor(connection)
        if not _is_behind(executor):
            return
        if executor.loader.applied_migrations:
            must_be_alone(connection)
            _copied_and_tried(connection, executor)
        with whole(connection):
            call_command("migrate", verbosity=0, interactive=False)


@contextmanager
def whole(connection: Any) -> Iterator[None]:
    """Every change of the tables or none, whenever it is killed.

    Change by change would not do: that a change was made is noted after it, so that a process killed in between leaves
    tables which nobody can bring up to date again.
    """
    file = connection.vendor == "sqlite"
    if file:
        connection.disable_constraint_checking()  # which nobody can within a transaction
    try:
        with transaction.atomic(using=connection.alias):
            yield
    finally:
        if file:
            connection.enable_constraint_checking()


def must_fit() -> None:
    """Raise InputError where the tables are not those of this program."""
    if _is_behind(MigrationExecutor(connections[DEFAULT_DB_ALIAS])):
        raise InputError("database", "its tables", Message("records.tables-changed"))


def must_be_alone(connection: Any) -> None:
    """Raise InputError where other benches serve from tables that are to be changed."""
    if others(connection, Lock.PROGRAM):
        allowed = Message("records.benches-to-stop")
        raise InputError("database", "its tables", allowed)


def _is_behind(executor: MigrationExecutor) -> bool:
    """Whether some change to the tables was not made yet; InputError where there are more than this program knows."""
    done, known = executor.loader.applied_migrations, executor.loader.disk_migrations
    newer = sorted(name for app, name in done if app == OURS and (app, name) not in known)
    if newer:
        allowed = Message("records.newer-program", name=NAME)
        raise InputError("database", f"tables of a newer program ({newer[-1]})", allowed)
    return bool(executor.migration_plan(executor.loader.graph.leaf_nodes()))


def _copied_and_tried(connection: Any, executor: MigrationExecutor) -> None:
    folder, name = Path(settings.FOLDER.path), f"{NAME}{datetime.now(UTC):%Y-%m-%d-%H%M%S-%f}"
    if connection.vendor == "sqlite":
        file = Path(str(connection.settings_dict["NAME"]))
        if not file.is_file():
            return
        folder = file.parent
        copy = copied(file, folder / f"{name}.sqlite3")
        _try_out(copy)
    else:
        copy = folder / f"{name}.zip"
        _every_row(copy, executor)
        _rehearse(copy)
    for old in sorted(folder.glob(f"{NAME}*{copy.suffix}"))[:-COPIES]:
        old.unlink()


def _every_row(to: Path, executor: MigrationExecutor) -> None:
    """Every row as the tables have it now, in an archive; tried by restoring it beside the shop."""
    from snath.shop.records import backup, rows
    from snath.shop.records.archive import write_archive

    applied = [key for key in executor.loader.graph.nodes if key in executor.loader.applied_migrations]
    then = executor.loader.project_state(applied).apps
    there = {name: then.get_model(OURS, name) for name in rows.BY_NAME if (OURS, name) in _models(then)}
    with backup.whole_file(to) as out:
        written = write_archive(out, secrets=True, lines=partial(rows.lines, tables=there), files=False)
    trial = backup.try_out(to, written)
    if trial.restored.rows != written.rows or not written.whole:
        raise InputError("database", to.name, Message("records.rows-differ"))


def _models(apps: Any) -> set[tuple[str, str]]:
    return {(model._meta.app_label, model._meta.model_name) for model in apps.get_models()}


def _rehearse(copy: Path) -> None:
    """Make every change and take it back: PostgreSQL changes its tables whole or not at all."""
    try:
        with transaction.atomic():
            call_command("migrate", verbosity=0, interactive=False)
            transaction.set_rollback(True)
    except DatabaseError as fault:
        raise _failed(copy, fault) from fault


def _failed(copy: Path, fault: Exception) -> InputError:
    said = Message("records.not-brought-up", why=str(fault))
    return InputError("database", copy.name, said)


def copied(file: Path, to: Path) -> Path:
    """A whole copy of a database file as it is at this moment, its owner's only."""
    to.touch(mode=0o600)
    with closing(sqlite3.connect(file)) as source, closing(sqlite3.connect(to)) as target:
        source.backup(target)
    return to


def _try_out(copy: Path) -> None:
    with tempfile.TemporaryDirectory(prefix=".trial-", dir=copy.parent) as folder:
        trial = copied(copy, Path(folder) / "trial.sqlite3")
        with another(TRIAL, throwaway(trial)):
            try:
                call_command("migrate", database=TRIAL, verbosity=0, interactive=False)
            except DatabaseError as fault:
                raise _failed(copy, fault) from fault
