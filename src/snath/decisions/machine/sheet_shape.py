"""Has a file of the shop's the tables and keys it should have? Every fault of it at once, as a shop can mend it."""

import difflib
from collections.abc import Iterable
from typing import Any, TypeVar, get_args

from pydantic import BaseModel, ValidationError

from snath.quantities.message import Message
from snath.quantities.numbers import DecimalMark
from snath.quantities.toml_text import Fault, Path, TomlText

_WORDS: dict[str, Message | str] = {
    "string_type": "must be text in quotation marks",
    "string_too_short": "must not be empty",
    "string_too_long": "must be at most {max_length} characters long",
    "string_pattern_mismatch": Message("sheet.zero-bytes"),
    "int_type": "must be a whole number without quotation marks",
    "int_from_float": "must be a whole number without quotation marks",
    "float_type": Message("sheet.bare-number"),
    "finite_number": "must be a number",
    "greater_than": "must be over {gt}",
    "less_than": "must be under {lt}",
    "bool_type": "must be true or false",
    "list_type": "must be a list in square brackets",
    "too_short": "must have at least {min_length} entries",
    "too_long": "must have at most {max_length} entries",
    "greater_than_equal": "must be at least {ge}",
    "less_than_equal": "must be at most {le}",
    "multiple_of": "must be a multiple of {multiple_of}",
    "model_type": "must be a table",
}  # what pydantic found, in the words of the shop; any other kind keeps pydantic's


Shape = TypeVar("Shape", bound=BaseModel)


def shaped(
    toml: TomlText, schema: type[Shape], *, decimal_mark: DecimalMark = ".", beside: Iterable[Fault] = ()
) -> Shape:
    """The file's tables, its own decimal mark before the shop's.

    Parameters
    ----------
    toml : TomlText
    schema : type
        The whole of what the file may hold.
    decimal_mark : str
        How numbers inside quotation marks are written, unless the file says so itself.
    beside : iterable of Fault
        What else is wrong with it, told together with what this finds.

    Raises
    ------
    InputErrors
        With every fault: the key, what was given, what would do, and its line.
    """
    mark = toml.data.get("decimal_mark", decimal_mark)
    try:
        return schema.model_validate(toml.data, context={"decimal_mark": mark if mark == "," else "."})
    except ValidationError as error:
        found = [_fault(dict(row), schema) for row in error.errors(include_url=False)]
        raise toml.errors((*found, *beside)) from None


def _fault(row: dict[str, Any], schema: type[BaseModel]) -> Fault:
    path: Path = tuple(row["loc"])
    context = row.get("ctx", {})
    given = row["input"]
    if row["type"] == "sheet":
        allowed, key, instead = context["refusal"]
        return Fault((*path, key) if key else path, given if instead is None else instead, allowed)
    if row["type"] == "missing":
        return Fault(path, "nothing", "must be given")
    if row["type"] == "extra_forbidden":
        return Fault(path, given, _unknown(str(path[-1]), _keys_at(schema, path[:-1])))
    if row["type"] == "literal_error":
        return Fault(
            path, given, f"must be {context['expected']}{_nearest_choice(given, context['expected'])}"
        )
    words = _WORDS.get(row["type"], row["msg"])
    said = isinstance(words, str) and row["type"] in _WORDS
    return Fault(path, given, words.format(**context) if said else words)


def _unknown(key: str, known: list[str]) -> str:
    close = difflib.get_close_matches(key, known, n=1)
    return (
        f"unknown key; did you mean {close[0]}?" if close else f"unknown key; known here: {', '.join(known)}"
    )


def _nearest_choice(given: object, expected: str) -> str:
    words = [word.strip("'") for word in expected.replace(" or ", ", ").split(", ")]
    close = difflib.get_close_matches(str(given)[:60], words, n=1, cutoff=0.4)
    return f"; nearest: {close[0]}" if close else ""


def _keys_at(schema: type[BaseModel], path: Path) -> list[str]:
    """The keys a table may have, found by walking the schema."""
    for step in path:
        if isinstance(step, str):
            inner = _table_in(schema.model_fields[step].annotation)
            if inner is None:
                return []
            schema = inner
    return list(schema.model_fields)


def _table_in(annotation: Any) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    found = (_table_in(inner) for inner in get_args(annotation))
    return next((table for table in found if table is not None), None)
