"""How every command answers: one JSON object or plain text, and an exit code that means something."""

import json
import math
import sys
from collections.abc import Callable, Mapping
from functools import wraps
from typing import Any, NoReturn, ParamSpec, TypeVar

import click

from snath.quantities.errors import InputError, InputErrors

DONE, FAILED, WRONG_INPUT, UNDECIDED = 0, 1, 2, 3
EXIT_OF = {"pass": DONE, "fail": FAILED, "undecided": UNDECIDED}

P = ParamSpec("P")
R = TypeVar("R")

json_option = click.option("--json", "as_json", is_flag=True, help="Answer as one JSON object.")


def answer(data: Mapping[str, Any], text: str, *, as_json: bool, code: int = DONE) -> NoReturn:
    """Print the answer and leave with its code."""
    if as_json:
        click.echo(json.dumps(without_nan(data), ensure_ascii=False, allow_nan=False))
    else:
        click.echo(text)
    sys.exit(code)


def without_nan(value: Any) -> Any:
    """The same data with null in place of what JSON has no word for."""
    if isinstance(value, float):
        return value if math.isfinite(value) else None
    if isinstance(value, Mapping):
        return {key: without_nan(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [without_nan(item) for item in value]
    return value


def speaks_plainly(command: Callable[P, R]) -> Callable[P, R]:
    """Turn wrong input into its message and exit code 2, as text or JSON; nothing else is caught."""

    @wraps(command)
    def run(*args: P.args, **kwargs: P.kwargs) -> R:
        try:
            return command(*args, **kwargs)
        except InputError as fault:
            refuse((fault,), as_json=bool(kwargs.get("as_json")))
        except InputErrors as faults:
            refuse(faults.faults, as_json=bool(kwargs.get("as_json")))

    return run


def refuse(faults: tuple[InputError, ...], *, as_json: bool) -> NoReturn:
    """Print every fault and leave with code 2."""
    if as_json:
        rows = [{"field": f.field, "given": f.given, "allowed": f.allowed} for f in faults]
        click.echo(json.dumps({"errors": rows}, ensure_ascii=False))
    else:
        for fault in faults:
            click.echo(str(fault), err=True)
    sys.exit(WRONG_INPUT)
