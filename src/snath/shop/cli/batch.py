"""`snath batch`: every recording of a folder as one table."""

import os
from dataclasses import asdict
from pathlib import Path
from typing import get_args

import click

from snath.decisions.machine.sheet import read_sheet
from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.quantities.numbers import DecimalMark
from snath.shop.answers.recording import per_turn_of
from snath.shop.batch.run import run_batch
from snath.shop.batch.spread import Where
from snath.shop.cli.answer import answer, json_option, said, speaks_plainly
from snath.shop.cli.codes import DONE, FAILED
from snath.shop.cli.common import decimal_option
from snath.shop.cli.progress import telling
from snath.shop.media.asked import Asked
from snath.shop.media.text_file import read_text


@click.command()
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), required=True, help="Parquet file to write.")
@click.option(
    "--on",
    type=click.Choice(get_args(Where)),
    default="here",
    show_default=True,
    help="Processes of this machine, or a dask cluster.",
)
@click.option(
    "--workers", type=int, help="Processes at once; as many as there are processors where left out."
)
@click.option("--scheduler", help="Address of a running dask scheduler, with --on dask.")
@click.option("--sheet", help="Machine sheet that all of them are of.")
@click.option("--per-turn", help="Pulses in a turn, for pulse logs.")
@click.option("--marks", type=int, help="Alike marks or tips on the filmed part, for films.")
@decimal_option
@json_option
@speaks_plainly
def batch(
    folder: Path,
    out: Path,
    on: Where,
    workers: int | None,
    scheduler: str | None,
    sheet: str | None,
    per_turn: str | None,
    marks: int | None,
    decimal_mark: DecimalMark,
    as_json: bool,
) -> None:
    """Read every recording under FOLDER into one table. Stopped, it goes on where it was."""
    if workers is not None and workers < 1:
        raise InputError("workers", workers, "must be at least 1")
    if not out.parent.is_dir():
        raise InputError("out", out, "must lie in a folder that exists")
    machine = read_sheet(read_text(sheet, "sheet"), decimal_mark=decimal_mark) if sheet else None
    with telling(said(Message("terminal.recordings"))) as tell:
        done = run_batch(
            folder,
            out,
            Asked(machine=machine, per_turn=per_turn_of(per_turn), marks=marks),
            on=on,
            workers=workers or os.cpu_count() or 1,
            scheduler=scheduler,
            tell=tell,
        )
    text = (
        f"{done.files} files: {done.decided} decided, {done.undecided} undecided, {done.not_read} not read"
        f" ({done.taken_over} were done before). Table: {out}"
    )
    if done.unread:
        text = (
            f"The scheduler was lost. {done.files} files are done and kept, {len(done.unread)} are left; there is no "
            "table yet. The same command goes on with them:\n" + "\n".join(done.unread)
        )
    answer({**asdict(done), "out": str(out)}, text, as_json=as_json, code=FAILED if done.unread else DONE)
