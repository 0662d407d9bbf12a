"""`snath export`: everything to hand on or to keep, as JSON lines with attachments, or the jobs as a table."""

from pathlib import Path

import click

from snath.shop.cli.answer import answer, answers_plainly
from snath.shop.cli.codes import DONE, FAILED
from snath.shop.cli.shop_data import data_option, shop


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option(
    "--csv",
    "as_csv",
    is_flag=True,
    help="The list of jobs for a spreadsheet, instead of everything; so does a FILE that ends in .csv.",
)
@data_option
@answers_plainly
def export(file: Path, as_csv: bool, data: Path | None, as_json: bool) -> None:
    """Write everything but passwords into FILE; the same records give the same bytes on every database."""
    as_csv = as_csv or file.suffix.lower() == ".csv"
    with shop(data, alone=False, damaged=True, there=True):
        from snath.shop.records.archive import write_archive
        from snath.shop.records.backup import whole_file
        from snath.shop.records.job_list import csv_of_jobs

        with whole_file(file) as out:
            if as_csv:
                count = sum(out.write(line.encode()) > 0 for line in csv_of_jobs()) - 1
                missing: tuple[str, ...] = ()
                damaged: tuple[object, ...] = ()
            else:
                written = write_archive(out, secrets=False)
                count, missing, damaged = written.rows, written.missing, written.damaged
    lines = [f"{file}: {count} rows", *(f"attachment {sha256} is missing or damaged" for sha256 in missing)]
    lines += [str(one) for one in damaged]
    answer(
        {
            "file": str(file),
            "rows": count,
            "missing": list(missing),
            "damaged": [str(one) for one in damaged],
        },
        "\n".join(lines),
        as_json=as_json,
        code=FAILED if missing or damaged else DONE,
    )
