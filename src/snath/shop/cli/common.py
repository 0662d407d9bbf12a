"""What several commands share: options they all have, and a file the user named."""

from pathlib import Path

import click

from snath.decisions.machine.condition_words import SPOKEN, condition_of
from snath.decisions.reading.instruments import INSTRUMENT_KINDS
from snath.quantities.errors import InputError
from snath.rules.scope import MARKETS


def write_bytes(path: str, content: bytes, field: str) -> None:
    """Write a file the user named, saying why where that fails."""
    try:
        Path(path).write_bytes(content)
    except OSError as why:
        raise InputError(field, path, f"must be a place that can be written: {why.strerror}") from None


instrument_option = click.option(
    "--instrument",
    type=click.Choice(list(INSTRUMENT_KINDS)),
    help="Kind of tachometer, where nothing else is known of it; what that kind may be off by is taken whole.",
)
condition_option = click.option(
    "--condition",
    type=click.Choice(SPOKEN),
    callback=lambda _context, _option, given: condition_of(given),
    default="blades in air",
    show_default=True,
    help="While it was read; without blades: disengaged, no load, loaded.",
)
accuracy_option = click.option(
    "--accuracy",
    help='What plate or a check in date says, as "0.1 %", in place of what its kind may be off by.',
)
u_option = click.option("--u", "stated_u", help='Standard uncertainty you stand for, as "10 rpm".')
market_option = click.option(
    "--market",
    type=click.Choice(MARKETS, case_sensitive=False),
    callback=lambda _context, _option, given: given or "",
    metavar=f"[{'|'.join(MARKETS)}]",
    help="Where the machine is used; without it the strictest row counts.",
)
rules_option = click.option("--rules", help="File with the shop's own rules, added to the book.")
decimal_option = click.option(
    "--decimal-mark",
    type=click.Choice([".", ","]),
    default=".",
    show_default=True,
    help="As you write numbers.",
)
