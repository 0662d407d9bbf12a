"""A folder of recordings to one table: what is done stays done, and one bad file stops nothing."""

from dataclasses import dataclass, replace
from importlib.metadata import version
from pathlib import Path

from snath.shop.batch.journal import Journal, key_of, still_to_do
from snath.shop.batch.row import COLUMNS, Row, lost, row_of, tasks
from snath.shop.batch.spread import Crew, LostError, Tell, counted_off
from snath.shop.media.request import ReadRequest
from snath.shop.tables.written import can_write, write_rows
from snath.words.render import ENGLISH, Locale

USUAL = Crew()


@dataclass(frozen=True, slots=True)
class Done:
    """How a batch went: files in all, taken over from before, decided, undecided and not read.

    `unread` names files that are left because whoever read them was lost; then there is no table yet.
    """

    files: int
    taken_over: int
    decided: int
    undecided: int
    not_read: int
    unread: tuple[str, ...] = ()


def run_batch(
    folder: Path,
    out: Path,
    asked: ReadRequest,
    crew: Crew = USUAL,
    *,
    reader: Locale = ENGLISH,
    tell: Tell | None = None,
) -> Done:
    """Read every recording under a folder into a table.

    Parameters
    ----------
    folder, out : Path
        Where they lie, and the table. Rows gather beside it in a file of its name with ".rows", from
        which a stopped batch goes on.
    asked : ReadRequest
        What is known of all of them.
    crew : Crew
        Who reads them.
    reader : Locale
        In whose language the reasons in the table stand.
    tell : callable or None
        Told how many of how many are done.

    Raises
    ------
    InputError
        Where there is nothing to read, the table cannot be written, or what writes it is not installed.
    """
    can_write(out)  # before the work, not after it
    journal = Journal(out, key_of((version("snath"), asked, reader)))
    left, rows = still_to_do(tasks(folder, asked, reader), journal.done())
    taken_over, total = len(rows), len(left) + len(rows)
    try:
        for row in counted_off(crew.rows(row_of, lost, left), tell, total=total, before=taken_over):
            journal.add(row)
            rows.append(row)
    except LostError:
        done = {row["file"] for row in rows}
        return replace(_counted(rows, taken_over), unread=tuple(t.name for t in left if t.name not in done))
    write_rows(sorted(rows, key=lambda row: str(row["file"])), out, COLUMNS)
    return _counted(rows, taken_over)


def _counted(rows: list[Row], taken_over: int) -> Done:
    failed = sum(row["error"] is not None for row in rows)
    decided = sum(bool(row["decided"]) for row in rows)
    return Done(len(rows), taken_over, decided, len(rows) - decided - failed, failed)
