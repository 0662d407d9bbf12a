"""The options that say who does long work: processes of this machine, or a dask cluster."""

import os
from collections.abc import Callable
from functools import wraps
from typing import Any, get_args

import click

from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.shop.batch.spread import Crew, Where


def crew_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Give a command `--on`, `--workers` and `--scheduler`, and hand them over as one `crew`."""

    @click.option(
        "--on",
        type=click.Choice(get_args(Where)),
        default="here",
        show_default=True,
        help="Processes of this machine, or a dask cluster.",
    )
    @click.option(
        "--workers", type=int, help="Processes at once; as many as there are processors where left out."
    )
    @click.option("--scheduler", help="Address of a running dask scheduler, with --on dask.")
    @wraps(command)
    def run(*args: Any, on: Where, workers: int | None, scheduler: str | None, **kwargs: Any) -> Any:
        if workers is not None and workers < 1:
            raise InputError("workers", workers, Message("batch.one-worker"))
        return command(*args, crew=Crew(on, workers or os.cpu_count() or 1, scheduler), **kwargs)

    return run
