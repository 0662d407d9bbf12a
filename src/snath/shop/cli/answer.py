"""How every command answers: one JSON object or plain text, and an exit code that means something."""

import json
import math
import os
import sys
from collections.abc import Callable, Iterable, Mapping
from dataclasses import asdict, replace
from functools import wraps
from typing import Any, NoReturn, ParamSpec, TypeVar

import click
from click.core import ParameterSource

from snath.quantities.errors import InputError, InputErrors
from snath.quantities.message import Message
from snath.quantities.numbers import DecimalMark
from snath.shop.cli.codes import DONE, WRONG_INPUT
from snath.words.render import Locale, locale_for, say, say_fault
from snath.words.tables import LANGUAGES

LANGUAGE, HABITS = "snath.language", "snath.habits"

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


def reader() -> Locale:
    """How whoever gave the command reads: their language, and the decimal mark they asked for."""
    context = click.get_current_context()
    locale = locale_for(context.meta.get(LANGUAGE, "en"))
    locale = replace(locale, **context.meta.get(HABITS, {}))
    if context.get_parameter_source("decimal_mark") is ParameterSource.COMMANDLINE:
        return replace(locale, decimal_mark=context.params["decimal_mark"])
    return locale


def note_habits(*, decimal_mark: DecimalMark, metric: bool) -> None:
    """Answer with the decimal mark and the lengths a sheet is written with, unless other ones were asked for."""
    context = click.get_current_context()
    habits: dict[str, str] = context.meta.setdefault(HABITS, {})
    if decimal_mark == ",":
        habits["decimal_mark"] = decimal_mark
    if metric:
        habits["length"] = "mm"


def said(thing: Message | str) -> str:
    """A message as the reader's text."""
    return say(thing, reader())


def facts(things: Iterable[Message | str]) -> list[dict[str, Any]]:
    """Messages as JSON has them: code and SI values, and the text beside."""
    return [fact(thing) for thing in things]


def fact(thing: Message | str, text: str = "text") -> dict[str, Any]:
    """One message as JSON has it."""
    return {**(asdict(thing) if isinstance(thing, Message) else {}), text: said(thing)}


def _chosen(context: click.Context, _option: click.Parameter, language: str) -> None:
    context.meta[LANGUAGE] = language


def shell_language() -> str:
    """The language the shell is set to, by the first of LC_ALL, LC_MESSAGES and LANG that says one; else English."""
    set_to = next(
        (os.environ[name] for name in ("LC_ALL", "LC_MESSAGES", "LANG") if os.environ.get(name)), ""
    )
    return locale_for(set_to).language


language_option = click.option(
    "--language",
    type=click.Choice(LANGUAGES),
    default=shell_language,
    show_default="by LC_ALL, LC_MESSAGES or LANG, else en",
    expose_value=False,
    callback=_chosen,
    help="Language of the answer.",
)


def speaks_plainly(command: Callable[P, R]) -> Callable[P, R]:
    """Answer in the language asked for; wrong input becomes its message and exit code 2, as text or JSON."""

    @language_option
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
        rows = [_fault_data(fault) for fault in faults]
        click.echo(json.dumps({"errors": rows}, ensure_ascii=False))
    else:
        for fault in faults:
            click.echo(say_fault(fault, reader()), err=True)
    sys.exit(WRONG_INPUT)


def _fault_data(fault: InputError) -> dict[str, Any]:
    return {"field": fault.field, "given": said(fault.given), **fact(fault.allowed, "allowed")}
