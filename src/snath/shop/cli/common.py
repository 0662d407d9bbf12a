"""What several commands share: whole revolutions for JSON, and the shop's rule book."""

import math
from pathlib import Path

import click

from snath.quantities.errors import InputError
from snath.quantities.numbers import DecimalMark
from snath.rules.book import Rule
from snath.rules.load import shipped_rules, with_shop_rules
from snath.rules.scope import MARKETS
from snath.shop.media.text_file import read_text


def floor_rpm(speed: float | None) -> float | None:
    """A ceiling in whole rpm, rounded down."""
    return None if speed is None else math.floor(round(speed * 60, 6))


def ceil_rpm(speed: float | None) -> float | None:
    """A floor in whole rpm, rounded up."""
    return None if speed is None else math.ceil(round(speed * 60, 6))


def tenth_rpm(speed: float | None) -> float | None:
    """A reading or target to a tenth of a revolution per minute."""
    return None if speed is None else round(speed * 60, 1)


def write_bytes(path: str, content: bytes, field: str) -> None:
    """Write a file the user named, saying why where that fails."""
    try:
        Path(path).write_bytes(content)
    except OSError as why:
        raise InputError(field, path, f"must be a place that can be written: {why.strerror}") from None


def rule_book(rules: str | None, decimal_mark: DecimalMark) -> tuple[Rule, ...]:
    """The shipped rows, with those of the shop's own file where one is named."""
    if rules is None:
        return shipped_rules()
    return with_shop_rules(shipped_rules(), read_text(rules, "rules"), decimal_mark=decimal_mark)


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
