"""`snath batch`: every recording of a folder as one table."""

from dataclasses import asdict
from pathlib import Path

import click

from snath.decisions.machine.sheet import read_sheet
from snath.quantities.message import Message
from snath.quantities.numbers import DecimalMark
from snath.shop.answers.recording import per_turn_of
from snath.shop.batch.run import run_batch
from snath.shop.batch.spread import Crew
from snath.shop.cli.answer import answer, answers_plainly, reader, said
from snath.shop.cli.codes import DONE, FAILED
from snath.shop.cli.common import decimal_option
from snath.shop.cli.crew import crew_options
from snath.shop.cli.progress import telling
from snath.shop.media.request import ReadRequest
from snath.shop.media.text_file import read_text


@click.command()
@click.argument("folder", type=click.Path(path_type=Path))
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    required=True,
    help="Table to write: .csv, .xlsx, .parquet or .json.",
)
@click.option("--sheet", help="Machine sheet that all of them are of.")
@click.option("--per-turn", help="Pulses in a turn, for pulse logs.")
@click.option("--marks", type=int, help="Alike marks or tips on the filmed part, for films.")
@decimal_option
@answers_plainly
@crew_options
def batch(
    folder: Path,
    out: Path,
    sheet: str | None,
    per_turn: str | None,
    marks: int | None,
    decimal_mark: DecimalMark,
    as_json: bool,
    crew: Crew,
) -> None:
    """Read every recording under FOLDER into one table. Stopped, it goes on where it was."""
    machine = read_sheet(read_text(sheet, "sheet"), decimal_mark=decimal_mark) if sheet else None
    with telling(said(Message("terminal.recordings"))) as tell:
        known = ReadRequest(machine=machine, per_turn=per_turn_of(per_turn), marks=marks)
        done = run_batch(folder, out, known, crew, reader=reader(), tell=tell)
    data = {**asdict(done), "out": str(out)}
    if done.unread:
        left = Message("batch.unread", files=done.files, left=len(done.unread))
        text = "\n".join((said(left), *done.unread))
    else:
        text = said(
            Message(
                "batch.done",
                files=done.files,
                decided=done.decided,
                undecided=done.undecided,
                unread=done.not_read,
                before=done.taken_over,
                out=str(out),
            )
        )
    answer(data, text, as_json=as_json, code=FAILED if done.unread else DONE)
