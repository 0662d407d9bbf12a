"""Print the JSON Schema of what commands take and answer, made from the types they are read and answered by.

A changed schema needs a new number: its second part where something was only added, its first where anything went or
means something else. `tests/contracts` holds every schema by its number.
"""

import re
from collections.abc import Callable, Mapping
from inspect import cleandoc
from typing import Any

from pydantic import BaseModel, TypeAdapter
from pydantic.json_schema import GenerateJsonSchema, JsonSchemaMode, JsonSchemaValue
from pydantic_core import core_schema

from snath.decisions.drive.frame_tables import RouteTable
from snath.decisions.drive.stock_csv import BELT_COLUMNS, SHEAVE_COLUMNS
from snath.decisions.machine.sheet_fields import OneOf, Within
from snath.decisions.machine.sheet_schema import SheetTable
from snath.quantities.units import show
from snath.shop.answers.drive_types import DrivesAnswer
from snath.shop.answers.fleet import FleetAnswer
from snath.shop.answers.job import JobAnswer
from snath.shop.answers.limit import LimitAnswer
from snath.shop.answers.recording import RecordingAnswer
from snath.shop.answers.verdict_types import AskedVerdict
from snath.shop.answers.window_types import AskedWindow
from snath.shop.files.job_schema import JobTable

DIALECT = "https://json-schema.org/draft/2020-12/schema"
ENTRY = re.compile(r"^(\w[\w, ]*) : .*\n((?:    .*\n?|\n)+)", re.MULTILINE)


class FactData(BaseModel):
    """A sentence as JSON has it: code and SI values where it has any, and the text in the reader's language."""

    code: str = ""
    values: dict[str, Any] = {}
    text: str


class FaultData(BaseModel):
    """A fault as JSON has it: its field, what was given, what would do, and the code of that."""

    field: str
    given: str
    code: str = ""
    values: dict[str, Any] = {}
    allowed: str


class Faults(BaseModel):
    """What every command prints with `--json` where something cannot be used, with exit code 2."""

    errors: list[FaultData]


class _Printed(GenerateJsonSchema):
    """Schemas with what our own entries take, and with the words of docstrings beside fields."""

    def function_plain_schema(self, schema: core_schema.PlainValidatorFunctionSchema) -> JsonSchemaValue:
        """What an entry of a sheet takes: a word of a list, or text with a unit."""
        reads: Any = schema["function"]["function"]
        if isinstance(reads, OneOf):
            return {"enum": list(reads.words)}
        if isinstance(reads, Within):
            low, high = (show(end, reads.unit) for end in (reads.low, reads.high))
            return {"type": "string", "description": f"{reads.dimension} with its unit, {low} to {high}"}
        return super().function_plain_schema(schema)

    def dataclass_schema(self, schema: core_schema.DataclassSchema) -> JsonSchemaValue:
        """An answer, each field with what its docstring says of it."""
        made = super().dataclass_schema(schema)
        said = _attributes(schema["cls"])
        made["description"] = cleandoc(schema["cls"].__doc__ or "").partition("\n\n")[0]
        for field in schema["schema"]["fields"]:
            place = made["properties"][field.get("serialization_alias", field["name"])]
            if field["name"] in said:
                place["description"] = said[field["name"]]
        return made

    def field_title_should_be_set(self, schema: Any) -> bool:
        """No: a field's name is its title."""
        del schema
        return False


def _attributes(of: type) -> dict[str, str]:
    """What the Attributes section of a class and those it stands on says, by name."""
    found: dict[str, str] = {}
    for one in reversed(of.__mro__):
        section = cleandoc(one.__doc__ or "").partition("Attributes\n----------\n")[2]
        for names, text in ENTRY.findall(section + "\n"):
            found |= dict.fromkeys(names.split(", "), " ".join(text.split()))
    return found


def _stock(_mode: JsonSchemaMode) -> dict[str, Any]:
    """The columns of a stock folder's two CSV files, every cell as text."""

    def rows(columns: tuple[str, ...]) -> dict[str, Any]:
        cells = {name: {"type": "string"} for name in columns}
        return {"type": "array", "items": {"type": "object", "properties": cells}}

    return {
        "type": "object",
        "properties": {"sheaves": rows(SHEAVE_COLUMNS), "belts": rows(BELT_COLUMNS)},
        "description": "Rows of sheaves.csv and belts.csv by their headings.",
    }


def _of(kind: Any) -> Callable[[JsonSchemaMode], dict[str, Any]]:
    return lambda mode: TypeAdapter(kind).json_schema(mode=mode, schema_generator=_Printed)


TAKEN: Mapping[
    str, tuple[str, Callable[[JsonSchemaMode], dict[str, Any]]]
] = {  # name: (number, how it is made)
    "sheet": ("1.1", _of(SheetTable)),
    "job": ("1.0", _of(JobTable)),
    "route": ("1.0", _of(RouteTable)),
    "stock": ("1.0", _stock),
}
ANSWERED: Mapping[str, tuple[str, Callable[[JsonSchemaMode], dict[str, Any]]]] = {
    "limit-answer": ("1.0", _of(LimitAnswer)),
    "window-answer": ("1.0", _of(AskedWindow)),
    "judge-answer": ("1.0", _of(AskedVerdict)),
    "job-answer": ("1.0", _of(JobAnswer)),
    "read-answer": ("1.0", _of(RecordingAnswer)),
    "drive-answer": ("1.0", _of(DrivesAnswer)),
    "fleet-answer": ("1.0", _of(FleetAnswer)),
    "errors": ("1.0", _of(Faults)),
}
NAMES = (*TAKEN, *ANSWERED)


def schema_of(name: str) -> dict[str, Any]:
    """The JSON Schema of that name, with its number in `$id`; KeyError where there is none."""
    mode: JsonSchemaMode = "validation" if name in TAKEN else "serialization"
    number, made = (TAKEN if name in TAKEN else ANSWERED)[name]
    return {"$schema": DIALECT, "$id": f"urn:snath:{name}:{number}", **made(mode)}


def in_one_document(
    taken: Mapping[str, Any], answered: Mapping[str, Any], *, place: str
) -> tuple[dict[str, Any], dict[str, Any]]:
    """Schemas of types for a document that holds them all, and their parts by name.

    Parameters
    ----------
    taken, answered : mapping of str to type
        What is read and what is answered, by names of which none is in both.
    place : str
        Where in that document a part stands, with {model} for its name.
    """
    kinds: list[tuple[str, JsonSchemaMode, TypeAdapter[Any]]] = [
        *((name, "validation", TypeAdapter(kind)) for name, kind in taken.items()),
        *((name, "serialization", TypeAdapter(kind)) for name, kind in answered.items()),
    ]
    made, whole = TypeAdapter.json_schemas(kinds, schema_generator=_Printed, ref_template=place)
    return {name: schema for (name, _), schema in made.items()}, whole.get("$defs", {})


def number_of(name: str) -> str:
    """Under which number it is frozen."""
    return (TAKEN if name in TAKEN else ANSWERED)[name][0]
