"""The invented shop for tests that need one: filled by the program once a process, then put back row by row.

Filling works nine jobs out in twenty-eight versions, about a second each time; its rows go back in a hundredth of that.
Every test still has tables of its own, emptied after it.
"""

from django.apps import apps
from django.db import connection

from snath.shop.bench.demo.fill import fill_once
from snath.shop.records.store import shop_units

_rows: dict[str, tuple[list[str], list[tuple[object, ...]]]] = {}


def demo_shop() -> None:
    """Put the invented shop into the empty tables of this test."""
    if not _rows or connection.vendor != "sqlite":
        before = _taken() if connection.vendor == "sqlite" else {}
        assert fill_once()
        if connection.vendor == "sqlite":  # what Django keeps for itself is numbered anew by each test
            _rows.update({table: rows for table, rows in _taken().items() if rows != before.get(table)})
        return
    with connection.cursor() as cursor:
        for table, (columns, rows) in _rows.items():
            marks = ", ".join(["%s"] * len(columns))
            named = ", ".join(f'"{column}"' for column in columns)
            cursor.executemany(f'INSERT OR REPLACE INTO "{table}" ({named}) VALUES ({marks})', rows)
    shop_units.cache_clear()


def _taken() -> dict[str, tuple[list[str], list[tuple[object, ...]]]]:
    found = {}
    with connection.cursor() as cursor:
        for model in apps.get_models(include_auto_created=True):
            cursor.execute(f'SELECT * FROM "{model._meta.db_table}"')
            if rows := cursor.fetchall():
                found[model._meta.db_table] = ([column[0] for column in cursor.description], rows)
    return found
