"""Describe the API as OpenAPI 3.1, from the schemas it checks by."""

from functools import cache
from importlib.metadata import version
from typing import Any

from snath.shop.site.api.works import WORKS

FAULTS = {
    "type": "object",
    "required": ["errors"],
    "properties": {
        "errors": {
            "type": "array",
            "minItems": 1,
            "items": {
                "type": "object",
                "required": ["field", "given", "allowed"],
                "properties": {name: {"type": "string"} for name in ("field", "given", "allowed")},
                "additionalProperties": False,
            },
        }
    },
    "additionalProperties": False,
}
NUMBER, TEXT, FACTS = {"type": ["number", "null"]}, {"type": ["string", "null"]}, {"type": "array"}
ANSWERS: dict[str, dict[str, Any]] = {
    "ask": {"rpm": NUMBER, "rule": TEXT, "standing": TEXT, "working": FACTS, "notes": FACTS},
    "window": {
        "shut": {"type": "boolean"},
        "feasible": {"type": "boolean"},
        "ceiling_rpm": NUMBER,
        "floor_rpm": NUMBER,
        "members": FACTS,
        "take": FACTS,
        "notes": FACTS,
    },
    "judge": {
        "verdict": {"enum": ["pass", "fail", "undecided"]},
        "speaks_of": {"const": "speed alone"},
        "limits": {"enum": ["under", "over", "undecided"]},
        "reasons": FACTS,
        "notes": FACTS,
    },
    "jobs": {"jobs": FACTS},
    "machines": {"machines": FACTS},
    "openapi.json": {"openapi": {"type": "string"}, "paths": {"type": "object"}},
}
REFUSALS = {
    "401": "No key, or one that does not hold.",
    "403": "This key may not, or a browser's page asked.",
    "422": "Something sent is wrong: every fault with its field, what was given and what would do.",
    "429": "Asked too often.",
}


@cache
def description() -> dict[str, Any]:
    """The whole description."""
    paths: dict[str, Any] = {}
    for name, properties in ANSWERS.items():
        good = {"type": "object", "required": list(properties), "properties": properties}
        operation: dict[str, Any] = {
            "operationId": name.partition(".")[0],
            "security": [{"key": []}],
            "responses": {"200": _answer("The answer, as the command with --json gives it.", good)}
            | {status: _answer(words, FAULTS) for status, words in REFUSALS.items()},
        }
        if name in WORKS:
            schema = WORKS[name][0].model_json_schema()
            operation["summary"] = schema.pop("description", name)
            operation["requestBody"] = {"required": True, "content": {"application/json": {"schema": schema}}}
            operation["responses"] |= {
                "413": _answer("Too much.", FAULTS),
                "415": _answer("No JSON.", FAULTS),
            }
            paths[f"/api/1/{name}"] = {"post": operation}
            continue
        if name in ("jobs", "machines"):
            after = {"type": "integer", "minimum": 0, "maximum": 999_999_999}
            operation["parameters"] = [{"name": "after", "in": "query", "required": False, "schema": after}]
        paths[f"/api/1/{name}"] = {"get": operation}
    return {
        "openapi": "3.1.0",
        "info": {
            "title": "Snath",
            "version": version("snath"),
            "description": "Every word is on the speed alone.",
        },
        "paths": paths,
        "components": {"securitySchemes": {"key": {"type": "http", "scheme": "bearer"}}},
    }


def _answer(words: str, schema: dict[str, Any]) -> dict[str, Any]:
    return {"description": words, "content": {"application/json": {"schema": schema}}}
