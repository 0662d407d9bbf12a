"""Bring the tables up to what this program needs: first a copy, then a trial on another copy, then in earnest.

The copy stays beside the database, so that a shop whose new tables turn out wrong can go back with the program it had.
PostgreSQL changes its tables whole or not at all; its copies are its keeper's business (`pg_dump`).
"""

import sqlite3
import tempfile
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

from django.core.management import call_command
from django.db import DEFAULT_DB_ALIAS, DatabaseError, connections
from django.db.migrations.executor import MigrationExecutor

from snath.quantities.errors import InputError
from snath.shop.site.databases import another, throwaway

COPIES = 5  # from before a change of the tables that are kept
NAME = "before-new-tables-"
TRIAL = "trial"


def migrate() -> None:
    """Bring the tables up to date.

    Raises
    ------
    InputError
        Where the trial fails; the database is as it was then.
    """
    connection = connections[DEFAULT_DB_ALIAS]
    file = Path(str(connection.settings_dict["NAME"]))
    if connection.vendor == "sqlite" and file.is_file() and _is_behind():
        copy = copied(file, file.with_name(f"{NAME}{datetime.now(UTC):%Y-%m-%d-%H%M%S-%f}.sqlite3"))
        _try_out(copy)
        for old in sorted(file.parent.glob(f"{NAME}*.sqlite3"))[:-COPIES]:
            old.unlink()
    call_command("migrate", verbosity=0, interactive=False)


def _is_behind() -> bool:
    """Whether there are tables of ours, and some change to them was not made yet."""
    executor = MigrationExecutor(connections[DEFAULT_DB_ALIAS])
    done = executor.loader.applied_migrations
    return bool(done) and bool(executor.migration_plan(executor.loader.graph.leaf_nodes()))


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
                raise InputError(
                    "database",
                    copy.name,
                    f"its tables cannot be brought up to date ({fault}); nothing was changed, and this copy was kept",
                ) from fault
