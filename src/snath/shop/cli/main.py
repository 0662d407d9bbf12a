"""The `snath` command: each word of it is a module, imported only when it is asked for."""

import os
import sys
import traceback
from importlib import import_module
from pathlib import Path
from typing import Any, NoReturn

import click
from click.shell_completion import CompletionItem

from snath.shop.cli.codes import OUR_FAULT

# Before any command loads numpy: a second thread of its linear algebra spins while a core of the shop's waits for it.
for library in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(library, "1")
# An answer hangs on nothing that happens to be installed beside it; nor is every package asked whether it joins in.
os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "1")

AS_JSON = "snath.as_json"

COMMANDS = {  # word: (module:function, what --help says of it)
    "limit": ("snath.shop.cli.limit:limit", "Ceiling for one blade on the crankshaft, at once."),
    "window": ("snath.shop.cli.window:window", "Allowed engine speed of a machine sheet, and what binds."),
    "read": ("snath.shop.cli.read:read", "Shaft speed from a recording or a pulse log."),
    "compare": ("snath.shop.cli.compare:compare", "A recording kept beside a tachometer reading."),
    "batch": ("snath.shop.cli.batch:batch", "Every recording of a folder as one table, resumable."),
    "fleet": ("snath.shop.cli.fleet:fleet", "Very many machines as one table: shut, over, due, moved."),
    "judge": ("snath.shop.cli.judge:judge", "Verdict on one typed reading."),
    "drive": (
        "snath.shop.cli.drive:drive",
        "Sheaves and belt from stock that keep every tip under its limit.",
    ),
    "route": (
        "snath.shop.cli.route:route",
        "Length, spans, wraps and idler of a belt's route, and its picture.",
    ),
    "governor": ("snath.shop.cli.governor:governor", "Droop, hunting, response, and where to set it next."),
    "stop": ("snath.shop.cli.stop:stop", "Does the blade stop in time, by a track of its run-down?"),
    "throw": ("snath.shop.cli.throw:throw", "What a blade's tip can throw, as found, as left, at the limit."),
    "balance": (
        "snath.shop.cli.balance:balance",
        "What a missing bit of blade pulls with, what to grind off.",
    ),
    "job": ("snath.shop.cli.job:job", "A whole job file: results, and its sheet as PDF."),
    "rework": ("snath.shop.cli.rework:again", "A kept job worked again: what moved, and why."),
    "schema": ("snath.shop.cli.schema:schema", "JSON Schema of sheets, jobs and of every typed answer."),
    "chart": ("snath.shop.cli.chart:chart", "Wall chart of engine speed by blade size."),
    "serve": ("snath.shop.cli.serve:serve", "The bench as pages, for this machine or the whole shop."),
    "key": ("snath.shop.cli.key:key", "Keys by which other programs may ask the bench."),
    "backup": ("snath.shop.cli.backup:backup", "Everything in one file, tried out by restoring it."),
    "rescue": ("snath.shop.cli.rescue:rescue", "All that can be read of damaged records, to be restored."),
    "restore": ("snath.shop.cli.restore:restore", "A backup into an empty data folder."),
    "export": ("snath.shop.cli.export:export", "Everything as JSON lines with attachments, or jobs as CSV."),
    "import": ("snath.shop.cli.importing:import_", "An export into an empty data folder."),
    "move": ("snath.shop.cli.move:move", "From the file to PostgreSQL, or back, losing nothing."),
    "verify": (
        "snath.shop.cli.verify:verify",
        "Whether a saved version, an attachment or a sealed file was changed.",
    ),
}


class LazyGroup(click.Group):
    """A group that knows its commands by name and loads one when it is used."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        del ctx
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        module, name = COMMANDS[cmd_name][0].split(":")
        try:
            command = getattr(import_module(module), name)
        except ModuleNotFoundError:
            if (
                ctx.resilient_parsing
            ):  # a shell asks how a line goes on: it is told nothing, and shows no fault
                return None
            raise
        assert isinstance(command, click.Command)
        return command

    def shell_complete(self, ctx: click.Context, incomplete: str) -> list[CompletionItem]:
        """Words that go on so; none of their modules is loaded for it."""
        words = [(word, about) for word, (_, about) in COMMANDS.items() if word.startswith(incomplete)]
        items = [CompletionItem(word, help=about) for word, about in words]
        return [*items, *click.Command.shell_complete(self, ctx, incomplete)]

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """The command; noted is what its answer would be like, should it turn out not to be installed."""
        ctx.meta[AS_JSON] = "--json" in args
        return super().resolve_command(ctx, args)

    def invoke(self, ctx: click.Context) -> Any:
        """Run the command; what nobody foresaw is told as a fault of the program, never with the code of a fail."""
        try:
            return super().invoke(ctx)
        except (click.ClickException, click.exceptions.Exit, click.Abort, BrokenPipeError):
            raise
        except ModuleNotFoundError as missing:
            tell_what_to_install(ctx, missing)
        except Exception as fault:
            tell_our_fault(fault)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        del ctx
        with formatter.section("Commands"):
            formatter.write_dl([(word, about) for word, (_, about) in COMMANDS.items()])


def tell_what_to_install(ctx: click.Context, missing: ModuleNotFoundError) -> NoReturn:
    """Wrong input where an extra brings the module, with the line that installs it; else a fault of ours."""
    # here, because --help can do without what is behind it: numpy
    from snath.shop.cli.answer import LANGUAGE, refuse, shell_language
    from snath.shop.extras import not_installed

    fault = not_installed(missing.name)
    if fault is None:
        tell_our_fault(missing)
    ctx.meta.setdefault(LANGUAGE, shell_language())
    refuse((fault,), as_json=ctx.meta.get(AS_JSON, False))


def tell_our_fault(fault: Exception) -> NoReturn:
    """Say what nobody foresaw, and leave."""
    click.echo(our_fault(fault), err=True)
    sys.exit(OUR_FAULT)


def our_fault(fault: Exception) -> str:
    """What to say, and to send to whoever keeps the program, of something nobody foresaw."""
    at = traceback.extract_tb(fault.__traceback__)[-1]
    place = f"{Path(at.filename).name}, line {at.lineno}"
    return (
        "This is a fault of the program, not of what was given to it; nothing is judged by it. Please send these "
        f"words: {type(fault).__name__} in {place}: {fault}"
    )


@click.group(cls=LazyGroup)
@click.version_option(package_name="snath", prog_name="snath")
def main() -> None:
    """At what no-load engine speed should this machine be governed.

    Exit codes: 0 pass or done, 1 fail, blocked or shut, 2 wrong input, 3 undecided, 4 a fault of the program.
    """
