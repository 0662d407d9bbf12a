"""`snath drive`: which sheaves and which belt from stock, with every tip under its limit."""

import time
from pathlib import Path
from typing import Any

import click

from snath.decisions.drive.choose import Choices, choose
from snath.decisions.drive.frame_sheet import read_frame
from snath.decisions.drive.search import MOST
from snath.decisions.drive.stock import Stock
from snath.decisions.drive.stock_csv import read_stock
from snath.decisions.job.assemble import job_for
from snath.decisions.machine.sheet import read_sheet
from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.quantities.numbers import DecimalMark
from snath.shop.cli.answer import answer, facts, json_option, said, speaks_plainly
from snath.shop.cli.codes import DONE, FAILED, UNDECIDED
from snath.shop.cli.common import decimal_option, market_option, rules_option, write_bytes
from snath.shop.cli.drive_data import drive_data, miss_data
from snath.shop.cli.drive_words import drive_lines
from snath.shop.cli.plot import write_plot
from snath.shop.cli.progress import telling
from snath.shop.files.shop_rules import rule_book
from snath.shop.media.text_file import read_text
from snath.shop.paper.drive_sheet import drive_sheet
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
@market_option
@rules_option
@decimal_option
@json_option
@speaks_plainly
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
    frame = read_frame(read_text(route_file or _route_beside(sheet), "route"), decimal_mark=decimal_mark)
    stock = _stock(folder, decimal_mark)
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
    answer(_data(found, stock), "\n".join(drive_lines(found, stock, SHOWN)), as_json=as_json, code=code)


def _write(
    found: Choices, machine: str, name: str, *, pick: int, plot_file: str | None, pdf_file: str | None
) -> None:
    if not found.drives:
        return
    if pick > len(found.drives):
        raise InputError("pick", pick, f"must be at most {len(found.drives)}, the drives found")
    chosen = found.drives[pick - 1]
    write_plot(plot_file, lambda voice: drive_picture(found, chosen, voice, name=name))
    if pdf_file:
        write_bytes(pdf_file, drive_sheet(found, chosen, machine=machine, name=name), "pdf")


def _route_beside(sheet: str) -> str:
    path = Path(sheet)
    places = [path.with_suffix(".route.toml"), path.parent / "routes" / f"{path.stem}.route.toml"]
    for place in places:
        if place.is_file():
            return str(place)
    raise InputError("route", "nothing", f"name a file with --route, or put one at {places[0]}")


def _stock(folder: str, decimal_mark: DecimalMark) -> Stock:
    place = Path(folder)
    if not place.is_dir():
        raise InputError("stock", folder, "must be a folder with sheaves.csv and belts.csv")
    texts = {
        name: read_text(str(place / f"{name}.csv"), "stock") if (place / f"{name}.csv").is_file() else ""
        for name in ("sheaves", "belts")
    }
    if not any(texts.values()):
        raise InputError("stock", folder, "holds neither sheaves.csv nor belts.csv")
    return read_stock(sheaves=texts["sheaves"], belts=texts["belts"], decimal_mark=decimal_mark)


def _data(found: Choices, stock: Stock) -> dict[str, Any]:
    return {
        "speed_rpm": round(found.problem.speed * 60, 1),
        "drives": [drive_data(found.problem, d) for d in found.drives],
        "misses": [miss_data(m) for m in found.misses],
        "order_first": facts(found.to_order),
        "looked_at": found.looked_at,
        "exhaustive": found.exhaustive,
        "dropped": found.dropped,
        "stock_faults": facts(fault.message for fault in stock.faults),
        "stock_remarks": facts(stock.remarks),
    }
