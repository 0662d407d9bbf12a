"""The `snath` command: each word of it is a module, imported only when it is asked for."""

from importlib import import_module
from importlib.metadata import version

import click

COMMANDS = {
    "limit": "snath.shop.cli.limit:limit",
    "window": "snath.shop.cli.window:window",
    "judge": "snath.shop.cli.judge:judge",
    "job": "snath.shop.cli.job:job",
}


class LazyGroup(click.Group):
    """A group that knows its commands by name and loads one when it is used."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        place = COMMANDS.get(cmd_name)
        if place is None:
            return None
        module, name = place.split(":")
        command = getattr(import_module(module), name)
        assert isinstance(command, click.Command)
        return command


@click.group(cls=LazyGroup)
@click.version_option(version("snath"), prog_name="snath")
def main() -> None:
    """At what no-load engine speed should this machine be governed.

    Exit codes: 0 pass or done, 1 fail or shut, 2 wrong input, 3 undecided.
    """
