"""Describe the API as OpenAPI 3.1, from the types it checks by and answers with."""

from functools import cache
from importlib.metadata import version
from typing import Any

from snath.shop.answers.schema import Faults, in_one_document
from snath.shop.site.api.addresses import ADDRESSES, FORM, ROOT, Address

ITSELF = "openapi.json"
PLACE = "#/components/schemas/{model}"
REFUSALS = {
    "401": "No key, or one that does not hold.",
    "403": "This key may not, or a browser's page asked.",
    "422": "Something sent is wrong: every fault with its field, what was given and what would do.",
    "429": "Asked too often.",
    "500": "A fault of the program; it is told by the number of the request.",
    "503": "Somebody else is saving just now, or too many recordings wait: ask again later.",
    "507": "The disk of the shop is full, failing or may not be written to.",
}
WITH_A_BODY = {"400": "It broke off, or is no form.", "413": "Too much.", "415": "Another type of content."}
NAMED = {"404": "There is none of that name."}


@cache
def description() -> dict[str, Any]:
    """The whole description."""
    taken = {one.takes.__name__: one.takes for one in ADDRESSES}
    answered = {
        kind.__name__: kind for one in ADDRESSES for kind in (one.answers, *one.also.values(), Faults)
    }
    schemas, parts = in_one_document(taken, answered, place=PLACE)
    paths: dict[str, Any] = {}
    for one in ADDRESSES:
        paths.setdefault(one.path, {})[one.method.lower()] = _operation(one, schemas, parts)
    whole = {"type": "object", "required": ["openapi", "paths"]}
    paths[ROOT + ITSELF] = {
        "get": {
            "operationId": "openapi",
            "summary": "This description itself.",
            "responses": {"200": _said("The description.", whole), **_refused(REFUSALS, schemas["Faults"])},
        }
    }
    return {
        "openapi": "3.1.0",
        "info": {
            "title": "Snath",
            "version": version("snath"),
            "description": "Every word is on the speed alone.",
        },
        "security": [{"key": []}],
        "paths": paths,
        "components": {"schemas": parts, "securitySchemes": {"key": {"type": "http", "scheme": "bearer"}}},
    }


def _operation(one: Address, schemas: dict[str, Any], parts: dict[str, Any]) -> dict[str, Any]:
    asked = schemas[one.takes.__name__]
    fields = parts[asked["$ref"].rpartition("/")[2]]["properties"]
    named = one.pattern.groupindex
    refusals = REFUSALS | (WITH_A_BODY if one.body else {}) | (NAMED if named else {})
    good = {200: one.answers, **one.also}
    operation: dict[str, Any] = {
        "operationId": f"{one.method.lower()}-{one.name.partition('/')[0]}",
        "summary": one.purpose,
        "description": f"A key's scope must be {one.scope} or more.",
        "responses": {
            **{str(status): _said("The answer.", schemas[kind.__name__]) for status, kind in good.items()},
            **_refused(refusals, schemas["Faults"]),
        },
    }
    if one.body:
        sent = _with_file(fields) if one.body == FORM else asked
        operation["requestBody"] = {"required": True, "content": {one.body: {"schema": sent}}}
    elif fields:
        operation["parameters"] = [
            {
                "name": name,
                "in": "path" if name in named else "query",
                "required": name in named,
                "schema": kind,
            }
            for name, kind in fields.items()
        ]
    return operation


def _with_file(fields: dict[str, Any]) -> dict[str, Any]:
    file = {"type": "string", "format": "binary", "description": "The recording."}
    return {
        "type": "object",
        "properties": {"recording": file, **fields},
        "required": ["recording"],
        "additionalProperties": False,
    }


def _refused(refusals: dict[str, str], faults: Any) -> dict[str, Any]:
    return {status: _said(why, faults) for status, why in refusals.items()}


def _said(words: str, schema: Any) -> dict[str, Any]:
    return {"description": words, "content": {"application/json": {"schema": schema}}}
