"""The invented shop for tests that need one: filled by the program once a process, then put back row by row.

Filling works nine jobs out in twenty-eight versions, about a second each time; its rows go back in a hundredth of that.
Every test still has tables of its own, emptied after it.
"""

from django.apps import apps
from django.db import connection

from snath.shop.bench.demo.fill import fill_once
from snath.shop.records.store import shop_units

Rows = dict[str, tuple[list[str], list[tuple[object, ...]]]]

_filled: Rows = {}


def demo_shop() -> None:
    """Put the invented shop into the tables of this test, beside what the test put there itself."""
    if connection.vendor != "sqlite":
        assert fill_once()
    elif not _filled:
        before = _stored()
        assert fill_once()
        _filled.update(_added(before, _stored()))
    else:
        with connection.cursor() as cursor:
            for table, (columns, rows) in _filled.items():
                marks = ", ".join(["%s"] * len(columns))
                named = ", ".join(f'"{column}"' for column in columns)
                cursor.executemany(f'INSERT OR REPLACE INTO "{table}" ({named}) VALUES ({marks})', rows)
        shop_units.cache_clear()


def _stored() -> Rows:
    found = {}
    with connection.cursor() as cursor:
        for model in apps.get_models(include_auto_created=True):
            cursor.execute(f'SELECT * FROM "{model._meta.db_table}"')
            found[model._meta.db_table] = ([column[0] for column in cursor.description], cursor.fetchall())
    return found


def _added(before: Rows, after: Rows) -> Rows:
    """The rows filling wrote; what the first test had put, or Django numbers anew for each test, is not of the shop."""
    added = {}
    for table, (columns, rows) in after.items():
        if new := [row for row in rows if row not in before[table][1]]:
            added[table] = (columns, new)
    return added
