"""Check a file's tables and keys, and tell every fault at once, as a shop can mend it."""

from collections.abc import Callable, Iterable, Mapping
from typing import Any, TypeVar, get_args

from pydantic import BaseModel, ValidationError

from snath.quantities.message import Message
from snath.quantities.numbers import DecimalMark
from snath.quantities.toml_text import Fault, Path, TomlText
from snath.quantities.units import Quantity
from snath.quantities.words import one_of_words, unknown_key

_SAID: dict[str, Callable[[dict[str, Any]], Message]] = {
    "string_type": lambda _: Message("sheet.text"),
    "string_too_short": lambda _: Message("sheet.not-empty"),
    "string_too_long": lambda found: Message("fault.characters", most=found["max_length"]),
    "string_pattern_mismatch": lambda _: Message("sheet.zero-bytes"),
    "int_type": lambda _: Message("sheet.whole-number"),
    "int_from_float": lambda _: Message("sheet.whole-number"),
    "float_type": lambda _: Message("sheet.bare-number"),
    "finite_number": lambda _: Message("fault.number"),
    "greater_than": lambda found: Message("sheet.over", n=found["gt"]),
    "less_than": lambda found: Message("sheet.under", n=found["lt"]),
    "bool_type": lambda _: Message("fault.true-or-false"),
    "list_type": lambda _: Message("sheet.list"),
    "too_short": lambda found: Message("sheet.few-entries", least=found["min_length"]),
    "too_long": lambda found: Message("sheet.many-entries", most=found["max_length"]),
    "greater_than_equal": lambda found: Message("sheet.at-least", n=found["ge"]),
    "less_than_equal": lambda found: Message("sheet.at-most", n=found["le"]),
    "multiple_of": lambda found: Message("sheet.multiple", n=found["multiple_of"]),
    "model_type": lambda _: Message("sheet.table"),
}  # what pydantic found, in the words of the shop; any other kind keeps pydantic's


Shape = TypeVar("Shape", bound=BaseModel)


def validate(
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


def entries(given: Mapping[str, Any], schema: type[Shape], *, decimal_mark: DecimalMark = ".") -> Shape:
    """What was typed one by one, as options of a command or into boxes of a page, by the table of its question.

    Raises
    ------
    InputErrors
        With every fault: its path, what was given and what would do.
    """
    return validate(TomlText(dict(given), ""), schema, decimal_mark=decimal_mark)


def _fault(row: dict[str, Any], schema: type[BaseModel]) -> Fault:
    path: Path = tuple(row["loc"])
    context = row.get("ctx", {})
    given = row["input"].text if isinstance(row["input"], Quantity) else row["input"]
    if row["type"] == "sheet":
        allowed, key, instead = context["refusal"]
        return Fault((*path, key) if key else path, given if instead is None else instead, allowed)
    if row["type"] == "missing":
        return Fault(path, "nothing", Message("fault.needed"))
    if row["type"] == "extra_forbidden":
        return Fault(path, given, unknown_key(str(path[-1]), _keys_at(schema, path[:-1])))
    if row["type"] == "literal_error":
        words = [word.strip("'") for word in context["expected"].replace(" or ", ", ").split(", ")]
        return Fault(path, given, one_of_words(words, given, cutoff=0.4))
    said = _SAID.get(row["type"])
    return Fault(path, given, row["msg"] if said is None else said(context))


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
