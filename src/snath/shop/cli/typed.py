"""Take the options of a command by the table of their question; a fault leaves under its option's name."""

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from typing import Any, get_args

import click
from pydantic.fields import FieldInfo

from snath.decisions.behaviour.tables import TrackTable
from snath.decisions.machine.sheet_fields import OneOf, Table, readers
from snath.formulas.signals.candidates import Track
from snath.quantities.errors import InputError, InputErrors
from snath.quantities.units import Quantity
from snath.shop.media.track_file import read_track

Decorator = Callable[[Callable[..., Any]], Callable[..., Any]]


class Started(click.Option):
    """An option whose start value is shown as it would be typed."""

    def get_help_extra(self, ctx: click.Context) -> Any:
        extra = super().get_help_extra(ctx)
        if "default" in extra:
            extra["default"] = extra["default"].removeprefix("(").removesuffix(")")
        return extra


def options_of(table: type[Table]) -> Callable[..., Decorator]:
    """`click.option` whose need, choices and start value are those of the entry of that name in the table."""

    def option(*names: str, **told: Any) -> Decorator:
        key = next((name for name in names if name.isidentifier()), names[0].strip("-").replace("-", "_"))
        return click.option(*names, cls=Started, **{**_told_by(table.model_fields[key]), **told})

    return option


def _told_by(field: FieldInfo) -> dict[str, Any]:
    start = field.get_default()
    told: dict[str, Any] = {"required": field.is_required()}
    if field.annotation is bool:
        return {"is_flag": True}
    if isinstance(start, Quantity):
        told["show_default"] = start.text
    elif isinstance(start, str | float) and start:
        told["show_default"] = start if isinstance(start, str) else f"{start:g}"
    parts = [field.annotation, *get_args(field.annotation)]
    if list in [getattr(part, "__origin__", None) for part in parts]:
        told["multiple"] = True
    if int in [getattr(part, "__origin__", part) for part in parts]:
        told["type"] = int
    words = next((one.words for one in readers(field, OneOf)), ())
    return told | ({"metavar": f"[{'|'.join(words)}]"} if words else {})


def options_given(typed: Mapping[str, Any]) -> dict[str, Any]:
    """The options that were given, as a table takes them."""
    listed = {name: list(value) if isinstance(value, tuple) else value for name, value in typed.items()}
    return {name: value for name, value in listed.items() if value not in (None, [], False)}


@contextmanager
def as_typed(**others: str) -> Iterator[None]:
    """A fault at an entry leaves under the name of its option; `others` are those that are named otherwise."""
    options = {
        str(one.name): one.opts[0].lstrip("-") for one in click.get_current_context().command.params
    } | others

    def renamed(fault: InputError) -> InputError:
        key = fault.field.rsplit(".", 1)[-1].split("[")[0].replace(" ", "_")
        return InputError(options.get(key, fault.field), fault.given, fault.allowed)

    try:
        yield
    except (InputError, InputErrors) as found:
        raise InputErrors(tuple(map(renamed, found.faults))) from None


def track_file(row: TrackTable, shaft: str) -> Track | None:
    """The track of the file that was named."""
    return read_track(row.track, shaft=shaft) if row.track else None
