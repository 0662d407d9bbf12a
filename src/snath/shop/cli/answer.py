"""How every command answers: one JSON object or plain text, and an exit code that means something."""

import json
import os
import sys
from collections.abc import Callable, Iterable, Iterator
from functools import wraps
from typing import Any, NoReturn, ParamSpec, TypeVar

import click
from click.core import ParameterSource

from snath.quantities.errors import InputError, InputErrors
from snath.quantities.message import Message
from snath.quantities.numbers import DecimalMark
from snath.shop.answers.facts import Fact, answered_as, as_data, fault_data
from snath.shop.answers.facts import fact as fact_for
from snath.shop.answers.facts import facts as facts_for
from snath.shop.cli.codes import DONE, WRONG_INPUT
from snath.words.render import Locale, locale_for, say, say_fault
from snath.words.tables import LANGUAGES

LANGUAGE, HABITS = "snath.language", "snath.habits"

P = ParamSpec("P")
R = TypeVar("R")


def answer(data: Any, text: str, *, as_json: bool, code: int = DONE) -> NoReturn:
    """Print the answer and leave with its code; `data` that can be called is worked out only where it is asked for."""
    if as_json:
        found = as_data(data() if callable(data) else data)
        click.echo(json.dumps(found, ensure_ascii=False, allow_nan=False))
    else:
        click.echo(text)
    sys.exit(code)


def reader() -> Locale:
    """How whoever gave the command reads: their language, and the decimal mark they asked for."""
    context = click.get_current_context()
    typed = context.get_parameter_source("decimal_mark") is ParameterSource.COMMANDLINE
    asked = context.params["decimal_mark"] if typed else None
    return answered_as(
        locale_for(context.meta.get(LANGUAGE, "en")), **context.meta.get(HABITS, {}), asked=asked
    )


def note_habits(*, decimal_mark: DecimalMark, metric: bool) -> None:
    """Answer with the decimal mark and the lengths a sheet is written with, unless other ones were asked for."""
    context = click.get_current_context()
    context.meta[HABITS] = {"decimal_mark": decimal_mark, "metric": metric}


def said(thing: Message | str) -> str:
    """A message as the reader's text."""
    return say(thing, reader())


def facts(things: Iterable[Message | str]) -> tuple[Fact, ...]:
    """Messages as the reader's sentences; JSON has their codes and SI values beside."""
    return facts_for(things, reader())


def fact(thing: Message | str) -> Fact:
    """One message as the reader's sentence."""
    return fact_for(thing, reader())


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
        except (InputError, InputErrors) as found:
            refuse(found.faults, as_json=bool(kwargs.get("as_json")))

    return run


def answers_plainly(command: Callable[P, R]) -> Callable[P, R]:
    """Speak plainly, and as one JSON object where that is asked for."""
    return click.option("--json", "as_json", is_flag=True, help="Answer as one JSON object.")(
        speaks_plainly(command)
    )


def refuse(faults: tuple[InputError, ...], *, as_json: bool) -> NoReturn:
    """Print every fault and leave with code 2."""
    if as_json:
        rows = [fault_data(fault, reader()) for fault in faults]
        click.echo(json.dumps({"errors": rows}, ensure_ascii=False))
    else:
        for fault in faults:
            click.echo(say_fault(fault, reader()), err=True)
        for other in sorted({other for fault in faults for other in _other_marks(fault.allowed)}):
            click.echo(said(Message("terminal.other-mark", other=other)), err=True)
    sys.exit(WRONG_INPUT)


def _other_marks(allowed: object) -> Iterator[str]:
    """The decimal mark a number was written with, where the command takes it and was not told so."""
    context = click.get_current_context(silent=True)
    if context is None or "decimal_mark" not in context.params or not isinstance(allowed, Message):
        return
    if allowed.code == "fault.other-mark":
        yield str(allowed.values["other"])
    for value in allowed.values.values():
        yield from _other_marks(value)
