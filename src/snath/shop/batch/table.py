"""Rows to a Parquet file: the same rows make the same file, whoever worked them out and in which order."""

from collections.abc import Sequence
from importlib import import_module
from pathlib import Path
from typing import Any

from snath.quantities.errors import InputError
from snath.shop.batch.row import COLUMNS, Row


def write_table(rows: Sequence[Row], path: Path) -> None:
    """Write the table, by file name; the file has its name only once it is whole.

    Raises
    ------
    InputError
        Where it cannot be written.
    """
    pyarrow: Any = import_module("pyarrow")  # an extra that few need
    parquet: Any = import_module("pyarrow.parquet")
    types = {"string": pyarrow.string(), "bool": pyarrow.bool_(), "double": pyarrow.float64()}
    schema = pyarrow.schema([(name, types[kind]) for name, kind in COLUMNS.items()])
    ordered = sorted(rows, key=lambda row: str(row["file"]))
    table = pyarrow.Table.from_pylist(ordered, schema=schema)
    draft = path.with_name(f".{path.name}.part")
    try:
        parquet.write_table(table, draft)
        draft.replace(path)
    except OSError as fault:
        raise InputError("out", path, f"must be a place that can be written ({fault.strerror})") from None
    finally:
        draft.unlink(missing_ok=True)
