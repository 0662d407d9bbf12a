"""The API tried by its own description: what is sent is drawn from the schemas, each answer held against them."""

import json
import os
import tempfile
import time
from collections import Counter
from pathlib import Path
from typing import Any

import jsonschema
import schemathesis
from hypothesis import HealthCheck, Phase, given, settings

from benchmarks.kept import share_of, table, verdict

CASES = 200  # an address
SHEET = Path("examples/belt_28_inch.toml").read_text("utf-8")
GOOD = {  # laid over every other body that is drawn, so that answers are tried as well as refusals
    "/api/1/ask": {"blade": "22 in", "width": None, "ratio": None},
    "/api/1/window": {"sheet": SHEET},
    "/api/1/judge": {
        "sheet": SHEET,
        "readings": ["3,190 rpm"],
        "u": "5 rpm",
        "accuracy": None,
        "instrument": None,
    },
}
PLAIN = {"rule": None, "decimal_mark": "."}


def main() -> None:
    """Print how many were answered how, and every answer outside its schema."""
    with tempfile.TemporaryDirectory() as folder:
        os.environ |= {"SNATH_DATA": folder, "DJANGO_SETTINGS_MODULE": "snath.shop.site.settings"}
        from snath.shop.site.data_folder import data_folder
        from snath.shop.site.serve import bring_up_to_date, start_django

        start_django(data_folder())
        bring_up_to_date()
        _tried()


def _tried() -> None:
    from django.test import Client

    from snath.shop.records.api_keys import Scope
    from snath.shop.records.keys import make_key
    from snath.shop.records.people import Person
    from snath.shop.site.api import door

    owner = Person.objects.local_owner()
    _, text = make_key(owner, "benchmark", Scope.READ, 1, owner)
    door._asked = door.Rates(1e9, 1e9)
    client = Client(headers={"host": "localhost", "authorization": f"Bearer {text}"})
    codes: Counter[tuple[str, int]] = Counter()
    outside: list[str] = []
    begun = time.perf_counter()
    schema = schemathesis.openapi.from_dict(door.description())
    for found in schema.get_all_operations():
        _one(found.ok(), client, codes, outside, door.description()["components"])
    lines = [(path, status, count) for (path, status), count in sorted(codes.items())]
    table(("address", "status", "answers"), lines, f"in {time.perf_counter() - begun:.0f} s")
    for line in outside[:20]:
        print(f"  outside: {line}")
    verdict("answers of 500 and more", sum(n for (_, status), n in codes.items() if status >= 500), 0)
    verdict("answers outside their schema", len(outside), 0)


def _one(
    operation: Any, client: Any, codes: Counter[tuple[str, int]], outside: list[str], parts: Any
) -> None:
    @given(case=operation.as_strategy())
    @settings(
        max_examples=share_of(CASES),
        deadline=None,
        database=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    def tried(case: Any) -> None:
        if isinstance(case.body, dict) and sum(codes.values()) % 2:
            case.body = {**case.body, **GOOD[operation.path], **PLAIN}
        reply = client.generic(
            case.method,
            case.formatted_path,
            json.dumps(case.body) if case.media_type else "",
            content_type=case.media_type or "application/json",
            query_params={key: str(value) for key, value in (case.query or {}).items()},
        )
        codes[operation.path, reply.status_code] += 1
        described = operation.definition.raw["responses"].get(str(reply.status_code))
        try:
            whole = described["content"]["application/json"]["schema"] | {"components": parts}
            jsonschema.validate(reply.json(), whole)
        except Exception as fault:
            outside.append(f"{operation.path} {reply.status_code}: {str(fault).splitlines()[0][:200]}")

    tried()


if __name__ == "__main__":
    main()
