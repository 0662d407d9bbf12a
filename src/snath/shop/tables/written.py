"""Rows to a file by its ending: CSV, a spreadsheet, or Parquet; whole or not there, and nothing in it runs."""

import csv
import io
import json
from collections.abc import Callable, Iterable, Mapping, Sequence
from importlib import import_module
from pathlib import Path
from typing import Any

from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.shop.extras import needed
from snath.shop.tables.cells import letter
from snath.shop.tables.harmless import as_it_was, csv_line, harmless
from snath.shop.tables.workbook import cells_of_workbook

Record = Mapping[str, Any]
Columns = Mapping[str, str]  # name: "string", "bool" or "double"


def can_write(path: Path) -> None:
    """Refuse before the work what could not be written after it.

    Raises
    ------
    InputError
        Where its folder is not there, its ending is none of ours, or the library for it is not installed.
    """
    if not path.absolute().parent.is_dir():
        raise InputError("out", path, Message("batch.out-folder"))
    if path.suffix not in WRITERS:
        raise InputError("out", path, Message("batch.out-ending", known=tuple(WRITERS)))
    for library in LIBRARIES.get(path.suffix, ()):
        needed(library)


def write_rows(rows: Sequence[Record], path: Path, columns: Columns) -> None:
    """Write the table in the order of its rows; its ending says how.

    Raises
    ------
    InputError
        Where it cannot be written.
    """
    can_write(path)
    write = WRITERS[path.suffix]
    draft = path.with_name(f".{path.name}.part")
    try:
        write(rows, draft, columns)
        draft.replace(path)
    except OSError as fault:
        raise InputError("out", path, Message("batch.out-place", why=fault.strerror or "")) from None
    finally:
        draft.unlink(missing_ok=True)


def read_written(path: Path, columns: Columns) -> list[dict[str, Any]]:
    """The rows of a table that `write_rows` wrote.

    Raises
    ------
    InputError
        Where it is not such a table.
    """
    try:
        records = list(_records(path, columns))
    except OSError as fault:
        raise InputError("before", path, Message("fleet.not-written", why=fault.strerror or "")) from None
    except (ValueError, TypeError, csv.Error) as fault:
        raise InputError("before", path, Message("fleet.not-written", why=type(fault).__name__)) from None
    for record in records[:1] or [{}]:
        missing = [name for name in columns if name not in record]
        if missing:
            raise InputError("before", path, Message("fleet.column-missing", column=missing[0]))
    return records


def _records(path: Path, columns: Columns) -> Iterable[dict[str, Any]]:
    """Its rows by their columns, each value of the kind that was written."""
    if path.suffix == ".parquet":
        needed("pyarrow")
        parquet: Any = import_module("pyarrow.parquet")
        return parquet.read_table(path).to_pylist()  # type: ignore[no-any-return]
    if path.suffix == ".json":
        return map(dict, json.loads(path.read_text("utf-8-sig")))
    head, *rows = _lines(path) or [[]]
    kinds = [columns.get(name, "string") for name in head]
    return (dict(zip(head, map(_value, row, kinds), strict=False)) for row in rows)


def _lines(path: Path) -> list[list[str]]:
    if path.suffix == ".xlsx":
        cells = cells_of_workbook(path.read_bytes(), lambda _: True, most=1_000_000)
        return [list(cells.head), *map(list, cells.rows)]
    return list(csv.reader(io.StringIO(path.read_text("utf-8-sig"))))


def _value(cell: str, kind: str) -> Any:
    if cell == "" and kind != "string":
        return None
    if kind == "bool":
        return cell.lower() in ("true", "yes")
    return float(cell) if kind == "double" else as_it_was(cell)


def _csv(rows: Sequence[Record], path: Path, columns: Columns) -> None:
    with path.open("w", encoding="utf-8", newline="") as file:
        file.write(csv_line(columns))
        file.writelines(csv_line(row[name] for name in columns) for row in rows)


def _json(rows: Sequence[Record], path: Path, columns: Columns) -> None:
    kept = [{name: row[name] for name in columns} for row in rows]
    path.write_text(json.dumps(kept, ensure_ascii=False, allow_nan=False, indent=0), "utf-8")


def _xlsx(rows: Sequence[Record], path: Path, columns: Columns) -> None:
    openpyxl: Any = import_module("openpyxl")
    book = openpyxl.Workbook(write_only=True)
    sheet = book.create_sheet("table")
    sheet.freeze_panes = "A2"
    sheet.auto_filter.ref = f"A1:{letter(len(columns) - 1)}{len(rows) + 1}"
    sheet.append(list(columns))
    for row in rows:
        cells = (row[name] for name in columns)
        sheet.append([harmless(cell) if isinstance(cell, str) else cell for cell in cells])
    book.save(path)


def _parquet(rows: Sequence[Record], path: Path, columns: Columns) -> None:
    pyarrow: Any = import_module("pyarrow")
    parquet: Any = import_module("pyarrow.parquet")
    types = {"string": pyarrow.string(), "bool": pyarrow.bool_(), "double": pyarrow.float64()}
    schema = pyarrow.schema([(name, types[kind]) for name, kind in columns.items()])
    parquet.write_table(pyarrow.Table.from_pylist([dict(row) for row in rows], schema=schema), path)


LIBRARIES = {".xlsx": ("openpyxl",), ".parquet": ("pyarrow",)}
WRITERS: dict[str, Callable[[Sequence[Record], Path, Columns], None]] = {
    ".csv": _csv,
    ".xlsx": _xlsx,
    ".parquet": _parquet,
    ".json": _json,
}
