"""`snath drive`: which sheaves and which belt from stock, with every tip under its limit."""

import time

import click

from snath.decisions.drive.choose import Choices, choose
from snath.decisions.drive.frame_sheet import read_frame
from snath.decisions.drive.search import MOST
from snath.decisions.job.assemble import job_for
from snath.decisions.machine.sheet import read_sheet
from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.quantities.numbers import DecimalMark
from snath.shop.answers.drive import drives_answer
from snath.shop.answers.drive_words import drives_lines
from snath.shop.cli.answer import answer, answers_plainly, reader, said
from snath.shop.cli.codes import DONE, FAILED, UNDECIDED
from snath.shop.cli.common import book_options, decimal_option, write_bytes
from snath.shop.cli.plot import write_plot
from snath.shop.cli.progress import telling
from snath.shop.files.shop_rules import rule_book
from snath.shop.files.stock_folder import route_beside, stock_in
from snath.shop.media.text_file import read_text
from snath.shop.paper.drive_sheet import drive_sheet
from snath.shop.paper.voices import paper_voice
from snath.shop.pictures.drive import drive_picture

SHOWN = 8  # drives printed as text; JSON has them all


@click.command()
@click.argument("sheet")
@click.option("--stock", "folder", required=True, help="Folder with sheaves.csv and belts.csv.")
@click.option(
    "--route",
    "route_file",
    help="Where the belt runs; else SHEET's name with .route.toml, here or in routes/.",
)
@click.option("--rule", "rule_id", help="Id of the tip-speed row to use in place of those in scope.")
@click.option("--most", type=click.IntRange(1), default=MOST, show_default=True, help="Drives to look at.")
@click.option(
    "--plot", "--svg", "plot_file", help="Draw one drive's route to scale, before and after: SVG or PNG."
)
@click.option("--pdf", "pdf_file", help="Write one drive's parts list as PDF.")
@click.option(
    "--pick", type=click.IntRange(1), default=1, show_default=True, help="Which drive of the answer."
)
@book_options
@decimal_option
@answers_plainly
def drive(
    sheet: str,
    folder: str,
    route_file: str | None,
    rule_id: str | None,
    most: int,
    plot_file: str | None,
    pdf_file: str | None,
    pick: int,
    market: str,
    rules: str | None,
    decimal_mark: DecimalMark,
    as_json: bool,
) -> None:
    """Drives from stock for the machine in SHEET: original parts first, then whatever no other drive beats."""
    machine = read_sheet(read_text(sheet, "sheet"), decimal_mark=decimal_mark)
    frame = read_frame(read_text(route_file or route_beside(sheet), "route"), decimal_mark=decimal_mark)
    stock = stock_in(folder, decimal_mark)
    job = job_for(machine, rule_book(rules, decimal_mark), market=market, only=rule_id)
    begun = time.monotonic()
    with telling(said(Message("terminal.searched"))) as tell:

        def go_on() -> bool:
            tell(int(time.monotonic() - begun), 0)
            return True

        found = choose(job, frame, stock, most=most, go_on=go_on)
    if plot_file or pdf_file:
        _write(found, machine.name, frame.name, pick=pick, plot_file=plot_file, pdf_file=pdf_file)
    code = DONE if found.drives else FAILED if found.exhaustive else UNDECIDED
    lines = drives_lines(found, stock, SHOWN, reader())
    answer(drives_answer(found, stock, reader()), "\n".join(lines), as_json=as_json, code=code)


def _write(
    found: Choices, machine: str, name: str, *, pick: int, plot_file: str | None, pdf_file: str | None
) -> None:
    if not found.drives:
        return
    if pick > len(found.drives):
        raise InputError("pick", pick, Message("records.drives-found", most=len(found.drives)))
    chosen = found.drives[pick - 1]
    write_plot(plot_file, lambda voice: drive_picture(found, chosen, voice, name=name))
    if pdf_file:
        voice = paper_voice(reader().language)
        write_bytes(pdf_file, drive_sheet(found, chosen, machine=machine, name=name, voice=voice), "pdf")
