"""`snath backup`: one file that brings the whole shop back."""

from pathlib import Path
from typing import TextIO

import click

from snath.quantities.message import Message
from snath.shop.cli.answer import answer, answers_plainly, said
from snath.shop.cli.codes import DONE, FAILED
from snath.shop.cli.progress import telling
from snath.shop.cli.shop_data import data_option, passphrase_in, passphrase_option, shop

UNTRIED, TRIED = Message("terminal.backup-untried"), Message("terminal.backup-tried")
OTHERWISE = Message("terminal.backup-otherwise")


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@data_option
@passphrase_option
@click.option("--untried", is_flag=True, help="Do not restore it beside the shop to see that it works.")
@answers_plainly
def backup(
    file: Path, data: Path | None, passphrase_file: TextIO | None, untried: bool, as_json: bool
) -> None:
    """Write everything into FILE while work goes on, readable by its owner only, and try it out."""
    phrase = passphrase_in(passphrase_file)
    with shop(data, alone=False, damaged=True, there=True):
        from snath.shop.records import backup as records

        with telling(said(Message("terminal.attachments"))) as tell:
            written = records.backup(file, passphrase=phrase, tell=tell)
        trial = None if untried else records.try_out(file, written, passphrase=phrase)
    whole = written.whole and (trial is None or (trial.equal and not trial.restored.breaks))
    tried = UNTRIED if trial is None else TRIED if trial.equal else OTHERWISE
    rows, held = written.rows, written.attachments
    lines = [said(Message("terminal.backed-up", file=str(file), rows=rows, held=held, tried=tried))]
    lines += [said(Message("terminal.backup-missing", sha256=sha256)) for sha256 in written.missing]
    lines += [str(one) for one in written.damaged]
    breaks = trial.restored.breaks if trial else ()
    lines += [said(Message("terminal.backup-chain", what=str(found.what))) for found in breaks]
    answer(
        {
            "file": str(file),
            "rows": written.rows,
            "attachments": written.attachments,
            "missing": list(written.missing),
            "damaged": [str(one) for one in written.damaged],
            "sealed": bool(phrase),
            "tried": None if trial is None else trial.equal,
        },
        "\n".join(lines),
        as_json=as_json,
        code=DONE if whole else FAILED,
    )
