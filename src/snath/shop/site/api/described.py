"""Describe the API as OpenAPI 3.1, from the types it checks by and answers with."""

from functools import cache
from importlib.metadata import version
from inspect import cleandoc
from typing import Any

from snath.shop.answers.schema import Faults, in_one_document
from snath.shop.site.api.lists import JobsAnswer, MachinesAnswer
from snath.shop.site.api.works import WORKS

LISTS = {"jobs": JobsAnswer, "machines": MachinesAnswer}
ITSELF = "openapi.json"
PLACE = "#/components/schemas/{model}"
REFUSALS = {
    "401": "No key, or one that does not hold.",
    "403": "This key may not, or a browser's page asked.",
    "422": "Something sent is wrong: every fault with its field, what was given and what would do.",
    "429": "Asked too often.",
    "500": "A fault of the program; it is told by the number of the request.",
    "503": "Somebody else is saving just now.",
    "507": "The disk of the shop is full, failing or may not be written to.",
}
WITH_A_BODY = {"413": "Too much.", "415": "No JSON."}


@cache
def description() -> dict[str, Any]:
    """The whole description."""
    taken = {work.__name__: work for work, _, _ in WORKS.values()}
    answered = {name: answer for name, (_, answer, _) in WORKS.items()} | LISTS
    schemas, parts = in_one_document(taken, {**answered, "errors": Faults}, place=PLACE)
    whole = {"type": "object", "required": ["openapi", "paths"]}
    paths: dict[str, Any] = {
        f"/api/1/{name}": {
            "post": {
                **_operation(name, schemas[name], schemas["errors"], REFUSALS | WITH_A_BODY),
                "summary": cleandoc(asked.__doc__ or ""),
                "requestBody": {"required": True, "content": _json(schemas[asked.__name__])},
            }
        }
        for name, (asked, _, _) in WORKS.items()
    }
    after = {"type": "integer", "minimum": 0, "maximum": 999_999_999}
    for name in LISTS:
        paths[f"/api/1/{name}"] = {
            "get": {
                **_operation(name, schemas[name], schemas["errors"], REFUSALS),
                "parameters": [{"name": "after", "in": "query", "required": False, "schema": after}],
            }
        }
    paths[f"/api/1/{ITSELF}"] = {"get": _operation(ITSELF, whole, schemas["errors"], REFUSALS)}
    return {
        "openapi": "3.1.0",
        "info": {
            "title": "Snath",
            "version": version("snath"),
            "description": "Every word is on the speed alone.",
        },
        "paths": paths,
        "components": {"schemas": parts, "securitySchemes": {"key": {"type": "http", "scheme": "bearer"}}},
    }


def _operation(name: str, good: Any, bad: Any, refusals: dict[str, str]) -> dict[str, Any]:
    words = "The answer, as the command with --json gives it." if name in WORKS else "The answer."
    return {
        "operationId": name.partition(".")[0],
        "security": [{"key": []}],
        "responses": {
            "200": {"description": words, "content": _json(good)},
            **{status: {"description": why, "content": _json(bad)} for status, why in refusals.items()},
        },
    }


def _json(schema: dict[str, Any]) -> dict[str, Any]:
    return {"application/json": {"schema": schema}}
