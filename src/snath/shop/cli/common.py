"""What several commands share: options they all have, and a file the user named."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.rules.scope import MARKETS


def write_bytes(path: str, content: bytes, field: str) -> None:
    """Write a file the user named, saying why where that fails."""
    try:
        Path(path).write_bytes(content)
    except OSError as why:
        raise InputError(field, path, Message("records.place-to-write", why=str(why.strerror))) from None


def one_of(name: str, *choices: str, told: str | None = None) -> Callable[[Any], Any]:
    """An option that takes one of these texts, the first where it is left out; `told` is its help."""
    return click.option(name, type=click.Choice(choices), default=choices[0], show_default=True, help=told)


market_option = click.option(
    "--market",
    type=click.Choice(MARKETS, case_sensitive=False),
    callback=lambda _context, _option, given: given or "",
    metavar=f"[{'|'.join(MARKETS)}]",
    help="Where the machine is used; without it the strictest row counts.",
)
rules_option = click.option("--rules", help="File with the shop's own rules, added to the book.")
paper_option = one_of("--paper", "a4", "us-letter")
decimal_option = one_of("--decimal-mark", ".", ",", told="As you write numbers.")


def book_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """By which rows: those of a market, and the shop's own among them."""
    return market_option(rules_option(command))
