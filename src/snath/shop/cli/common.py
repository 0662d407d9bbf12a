"""What several commands share: whole revolutions for JSON, and the shop's rule book."""

import math
from pathlib import Path

import click

from snath.decisions.job.proof import of_kind
from snath.decisions.machine.condition_words import SPOKEN, condition_of
from snath.decisions.reading.instruments import INSTRUMENT_KINDS, Instrument
from snath.quantities.errors import InputError
from snath.quantities.numbers import DecimalMark, percentage
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


def instrument_named(kind: str | None, accuracy: str | None, decimal_mark: DecimalMark) -> Instrument | None:
    """The tachometer that was named by its kind, its accuracy or both; None where it was not."""
    if accuracy is not None:
        share = percentage(accuracy, field="accuracy", decimal_mark=decimal_mark, most=0.1)
        return of_kind(kind or "other", accuracy=share)
    return None if kind is None else of_kind(kind)


def rule_book(rules: str | None, decimal_mark: DecimalMark) -> tuple[Rule, ...]:
    """The shipped rows, with those of the shop's own file where one is named."""
    if rules is None:
        return shipped_rules()
    return with_shop_rules(shipped_rules(), read_text(rules, "rules"), decimal_mark=decimal_mark)


def hundredth_rpm(speed: float | None, *, up: bool) -> float | None:
    """An end of a band to a hundredth, rounded to its inside."""
    if speed is None:
        return None
    return (math.ceil if up else math.floor)(round(speed * 6000, 4)) / 100


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
