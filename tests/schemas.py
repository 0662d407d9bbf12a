"""Hold JSON against a schema that refuses what it does not name."""

from typing import Any


def closed(schema: Any) -> Any:
    """The same schema, refusing what it does not name: nothing may be printed that nobody was promised."""
    if isinstance(schema, list):
        return [closed(one) for one in schema]
    if not isinstance(schema, dict):
        return schema
    shut = (
        {"additionalProperties": False} if "properties" in schema and schema.get("type") == "object" else {}
    )
    return {**shut, **{key: closed(value) for key, value in schema.items()}}
