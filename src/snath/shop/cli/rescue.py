"""`snath rescue`: all that can be read of damaged records."""

from pathlib import Path

import click

from snath.shop.cli.answer import answer, answers_plainly
from snath.shop.cli.codes import DONE, FAILED
from snath.shop.cli.shop_data import data_option, shop


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@data_option
@answers_plainly
def rescue(file: Path, data: Path | None, as_json: bool) -> None:
    """Write all that can be read of damaged records into FILE, for `snath restore` into an empty folder.

    Copy the data folder away first. What cannot be read is named, row by row; exit code 1 where there is any.
    """
    with shop(data, alone=True, as_it_is=True):
        from snath.shop.records.rescue import rescue as taken_out

        written = taken_out(file)
    lines = [f"{file}: {written.rows} rows, {written.attachments} attachments taken out"]
    lines += [f"attachment {sha256} is missing or damaged" for sha256 in written.missing]
    lines += [str(one) for one in written.damaged]
    answer(
        {
            "file": str(file),
            "rows": written.rows,
            "attachments": written.attachments,
            "missing": list(written.missing),
            "damaged": [str(one) for one in written.damaged],
        },
        "\n".join(lines),
        as_json=as_json,
        code=DONE if written.whole else FAILED,
    )
