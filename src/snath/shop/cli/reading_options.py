"""Give the options of how a speed was read: with what, under which condition, how well."""

import click

from snath.decisions.machine.condition_words import SPOKEN, condition_of
from snath.decisions.reading.instruments import INSTRUMENT_KINDS

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
