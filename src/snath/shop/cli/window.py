"""`snath window`: what engine speed a machine sheet allows."""

from typing import TYPE_CHECKING

import click

from snath.decisions.job.assemble import job_for
from snath.decisions.job.opened import opened_window
from snath.decisions.job.window_of import notes_of
from snath.quantities.numbers import DecimalMark
from snath.quantities.units import parse
from snath.shop.answers.tachometer import instrument_named
from snath.shop.cli.answer import answer, answers_plainly, reader
from snath.shop.cli.codes import DONE, FAILED, UNDECIDED
from snath.shop.cli.common import book_options, decimal_option
from snath.shop.cli.plot import plot_option, write_plot
from snath.shop.cli.reading_options import accuracy_option, instrument_option, u_option
from snath.shop.cli.sheet import machine_of
from snath.shop.cli.words import window_text
from snath.shop.files.shop_rules import rule_book

if TYPE_CHECKING:
    from snath.shop.answers.window_types import AskedWindow


@click.command()
@click.argument("sheet")
@click.option(
    "--rule",
    "rule_id",
    help="Id of the surface-speed row to use in place of those in scope; it must speak of the machine.",
)
@instrument_option
@accuracy_option
@u_option
@book_options
@plot_option
@decimal_option
@answers_plainly
def window(
    sheet: str,
    rule_id: str | None,
    instrument: str | None,
    accuracy: str | None,
    stated_u: str | None,
    market: str,
    rules: str | None,
    plot_file: str | None,
    decimal_mark: DecimalMark,
    as_json: bool,
) -> None:
    """Allowed no-load engine speed of the machine in SHEET, what binds, and what would open it.

    As JSON also `take`: the fewest readings that would prove it, each with where, while what, and between which speeds.
    """
    machine = machine_of(sheet, decimal_mark)
    job = job_for(machine, rule_book(rules, decimal_mark), market=market, only=rule_id)
    found = opened_window(job)
    if plot_file:
        from snath.shop.pictures.window import window_picture  # most ask for no picture

        write_plot(plot_file, lambda voice: window_picture(found, voice.about(job)))
    code = DONE if found.feasible else FAILED if found.shut else UNDECIDED
    u = None
    if stated_u is not None:
        u = parse(stated_u, dimension="rotation", field="u", decimal_mark=decimal_mark).value
    named = instrument_named(instrument, accuracy, decimal_mark)

    def data() -> "AskedWindow":
        from snath.shop.answers.window import (
            asked_window,  # which readings would prove it is told as JSON only
        )

        return asked_window(job, found, reader(), named=named, stated_u=u)

    answer(
        data,
        window_text(found, notes_of(job), machine),
        as_json=as_json,
        code=code,
    )
