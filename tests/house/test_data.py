"""Every figure from outside stands in a data row with its digits as printed, its source and its standing."""

import ast
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any, get_args

from snath.rules.book import Standing
from tests.house.sources import LEFT_ROOMS, SOURCE, modules, short, tree

STANDINGS = get_args(Standing)
LIMITS = (19_000, 21_000, 96.5, 96.52, 106.68)


def data_files() -> list[Path]:
    return sorted(path for room in LEFT_ROOMS for path in (SOURCE / room).rglob("*.toml"))


def rows(path: Path) -> Iterator[tuple[str, dict[str, Any]]]:
    data = tomllib.loads(path.read_text("utf-8"))
    for name, table in data.items():
        if isinstance(table, list):
            for place, row in enumerate(table):
                yield f"{short(path)} [[{name}]] {row.get('id', place + 1)}", row


def faults(row: dict[str, Any]) -> list[str]:
    """What is missing from a row with a figure; a row of words only (a step of a checklist) needs no source."""
    numbers = [
        key for key, value in row.items() if isinstance(value, int | float) and not isinstance(value, bool)
    ]
    if "text" in row and not numbers:
        return []
    needed = ("source", "standing", *(["edition"] if "limits" in row else []))  # a rule is of an edition
    found = [f"no {key}" for key in needed if not row.get(key)]
    if row.get("standing") not in STANDINGS:
        found.append(f"standing {row.get('standing')!r}")
    return found + [f"{key} is not text: digits are kept as printed" for key in numbers]


def test_every_row_has_source_and_standing_and_its_digits_as_text():
    found = {name: wrong for path in data_files() for name, row in rows(path) if (wrong := faults(row))}
    assert found == {}


def test_there_are_rows_to_look_at():
    assert sum(1 for path in data_files() for _ in rows(path)) > 50


def limits_in(module: ast.Module) -> list[int]:
    """Lines on which a figure of the rule book is written as a number."""
    numbers = (node for node in ast.walk(module) if isinstance(node, ast.Constant))
    return [node.lineno for node in numbers if isinstance(node.value, int | float) and node.value in LIMITS]


def test_a_limit_is_written_in_the_rule_book_and_nowhere_in_the_code():
    found = {short(path): lines for path in modules() if (lines := limits_in(tree(path)))}
    assert found == {}


def test_the_guard_bites():
    missing = ["no standing", "standing None", "value is not text: digits are kept as printed"]
    assert faults({"value": 3.0, "source": "somewhere"}) == missing
    assert faults({"value": "3.0", "source": "x", "edition": "1", "standing": "read"}) == []
    assert limits_in(ast.parse("limit = 19_000 * FOOT")) == [1]
