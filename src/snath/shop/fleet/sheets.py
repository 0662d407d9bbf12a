"""Find the machines that somebody named: TOML files, folders with such, tables of text and spreadsheets."""

import os
from collections.abc import Iterator, Sequence
from pathlib import Path

from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.quantities.numbers import DecimalMark
from snath.quantities.toml_text import parsed
from snath.shop.fleet.columns import column_of
from snath.shop.fleet.faults import Fleet
from snath.shop.fleet.machine import FleetMachine
from snath.shop.fleet.rows import MOST_MACHINES, read_fleet
from snath.shop.media.text_file import read_text
from snath.shop.tables.cells import Cells, cells_of, mark_of
from snath.shop.tables.workbook import ENDINGS, MOST_PACKED, cells_of_workbook, is_workbook

TABLES = (".csv", ".tsv", ".txt", *ENDINGS)


def fleet_of(
    places: Sequence[Path | FleetMachine],
    *,
    decimal_mark: DecimalMark | None = None,
    usual: DecimalMark = ".",
    length: str = "in",
    sheet: str = "",
) -> Fleet:
    """Every machine in these places, in their order; what cannot be read is among the faults.

    Parameters
    ----------
    places : sequence of Path or FleetMachine
        Files and folders, and machines that were read before.
    decimal_mark : str or None
        How numbers are written; None goes by what a table's cells have.
    usual : str
        The mark of a table whose cells do not tell.
    length : str
        Unit of a bare length in a table, "in" or "mm".
    sheet : str
        Of a spreadsheet; empty takes the first.

    Raises
    ------
    InputError
        Where a file cannot be read at all, or no machine is there.
    """
    parts, skipped = [], []
    for path, chosen in _files(places):
        if isinstance(path, FleetMachine):
            parts.append(Fleet((path,)))
            continue
        if path.suffix.lower() in TABLES:
            parts.append(_table(path, decimal_mark, usual, length, sheet))
            continue
        text = read_text(str(path), "sheet")
        if chosen or _is_sheet(text):
            parts.append(Fleet((FleetMachine(str(path), text, mark=decimal_mark or "."),)))
        else:
            skipped.append(str(path))
    whole = Fleet(
        tuple(machine for part in parts for machine in part.machines),
        tuple(fault for part in parts for fault in part.faults),
        tuple(dict.fromkeys(head for part in parts for head in part.not_read)),
        tuple(skipped),
    )
    if not whole.machines and not whole.faults:
        raise InputError("sheets", ", ".join(map(str, places)) or "nothing", Message("fleet.nothing"))
    return whole


def cells_in(
    content: bytes, *, decimal_mark: DecimalMark = ".", sheet: str = "", most: int = MOST_MACHINES
) -> Cells:
    """The cells of a file's content, whichever kind of table it is.

    Raises
    ------
    InputError
        If it is neither, or too large.
    """
    if is_workbook(content):
        return cells_of_workbook(content, _heads, most=most, sheet=sheet, decimal_mark=decimal_mark)
    if len(content) > MOST_PACKED:
        raise InputError("table", f"{len(content)} B", Message("fleet.file-most", most=MOST_PACKED))
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise InputError("table", "file", Message("fleet.not-text")) from None
    if "\x00" in text:
        raise InputError("table", "file", Message("fleet.not-text"))
    return cells_of(text, _heads, most=most)


def _heads(cell: str) -> bool:
    return bool(column_of(cell))


def _files(places: Sequence[Path | FleetMachine]) -> Iterator[tuple[Path | FleetMachine, bool]]:
    """Every file, and whether it was named itself and not found in a folder."""
    for place in places:
        if isinstance(place, Path) and os.path.isdir(place):  # noqa: PTH112 - False where none can be called that
            yield from ((one, False) for one in sorted(place.rglob("*.toml")) if one.is_file())
        elif isinstance(place, Path) and not place.suffix and not _there(place):
            raise InputError("sheets", place, Message("fleet.there"))
        else:
            yield place, True


def _there(path: Path) -> bool:
    """Whether something is there; what cannot be the name of a file is told where it is opened."""
    try:
        path.stat()
    except FileNotFoundError:
        return False
    except (OSError, ValueError):
        return True
    return True


def _is_sheet(text: str) -> bool:
    """Whether a file of a folder is a machine sheet, be it a wrong one: jobs and routes lie there, too."""
    try:
        data = parsed(text)
    except (ValueError, RecursionError):
        return True
    return "engine" in data or not {"pulley", "sheet", "rule"} & data.keys()


def _table(path: Path, mark: DecimalMark | None, usual: DecimalMark, length: str, sheet: str) -> Fleet:
    try:
        content = path.read_bytes() if path.stat().st_size <= MOST_PACKED else None
    except FileNotFoundError:
        raise InputError("table", path, Message("media.file-exists")) from None
    except OSError as fault:
        raise InputError(
            "table", path, Message("media.not-opened", why=(fault.strerror or "").lower())
        ) from None
    except ValueError:  # a zero byte, or letters no name of a file can have
        raise InputError("table", path, Message("media.file-name")) from None
    if content is None:
        raise InputError("table", path, Message("fleet.file-most", most=MOST_PACKED))
    cells = cells_in(content, decimal_mark=mark or usual, sheet=sheet)
    found: DecimalMark = mark or (usual if cells.sheet else mark_of(cells.rows, usual))
    return read_fleet(cells, name=path.name, decimal_mark=found, length=length)
