"""`snath restore` and `snath import`: a backup or an export becomes a shop again."""

from pathlib import Path
from typing import TextIO

import click

from snath.shop.cli.answer import answer, answers_plainly
from snath.shop.cli.codes import DONE, FAILED
from snath.shop.cli.shop_data import data_option, passphrase_in, passphrase_option, shop


@click.command()
@click.argument("file", type=click.Path(path_type=Path, exists=True, dir_okay=False))
@data_option
@passphrase_option
@answers_plainly
def restore(file: Path, data: Path | None, passphrase_file: TextIO | None, as_json: bool) -> None:
    """Bring the shop in FILE back into an empty data folder, and check every version and attachment."""
    phrase = passphrase_in(passphrase_file)
    with shop(data, alone=True) as folder:
        from snath.shop.records import backup as records

        restored = records.restore(file, passphrase=phrase)
    whole = not (restored.breaks or restored.missing)
    lines = [f"{folder.path}: {restored.rows} rows, {restored.attachments} attachments"]
    if restored.already:
        lines = [f"{folder.path}: everything in {file.name} is here already, nothing was changed"]
    lines += [f"chain of versions: {found.what}" for found in restored.breaks]
    lines += [f"attachment {sha256} was not in the file" for sha256 in restored.missing]
    answer(
        {
            "data": str(folder.path),
            "rows": restored.rows,
            "already": restored.already,
            "attachments": restored.attachments,
            "missing": list(restored.missing),
            "chain_whole": not restored.breaks,
        },
        "\n".join(lines),
        as_json=as_json,
        code=DONE if whole else FAILED,
    )
