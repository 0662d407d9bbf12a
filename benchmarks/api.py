"""The API tried by its own description: what is sent is drawn from the schemas, each answer held against them."""

import json
import logging
import os
import tempfile
import time
from collections import Counter
from functools import cache
from pathlib import Path
from typing import Any

import schemathesis
from django.core.files.uploadedfile import SimpleUploadedFile
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from benchmarks.kept import share_of, table, verdict

CASES = 300  # an address and method
SHEETS = [path.read_text("utf-8") for path in sorted(Path("examples").glob("*.toml"))]
PULSES = ("t_s\n" + "".join(f"{i / 55:.6f}\n" for i in range(60))).encode()


def _spoilt(text: str, drawn: Any) -> str:
    """A text without one of its lines, or with another in its place."""
    lines = text.splitlines()
    at = drawn.draw(st.integers(0, len(lines) - 1))
    lines[at : at + 1] = drawn.draw(st.lists(st.text(max_size=30), max_size=1))
    return "\n".join(lines)


@st.composite
def _sheets(draw: Any) -> str:
    text = draw(st.sampled_from(SHEETS))
    return draw(
        st.one_of(st.just(text), st.just(text), st.builds(_spoilt, st.just(text), st.data()), st.text())
    )


FORMATS = {  # kinds of text the schemas name: mostly what would do, now and then anything
    "length": r"(1[0-9]|2[0-9]|30)(\.[0-9]| 1/2)? in|[3-9][0-9]{2} mm( ± [1-9] mm)?",
    "speed": r"(blades in air: )?[1-4],?[0-9]{3}(\.[0-9])? rpm",
    "doubt": r"[1-9][0-9]?(\.[0-9])? rpm",
    "accuracy": r"0\.[0-9]{1,2} %",
    "instrument": r"optical|contact|inductive|stroboscope|reed|other",
    "shaft": r"crankshaft|spindle|rotor",
    "rule": r"mower-tip-speed-(consumer|commercial)|nothing",
}


def name_formats() -> None:
    """Tell the tester how texts of a named kind are drawn."""
    for name, pattern in FORMATS.items():
        good = st.from_regex(pattern, fullmatch=True)
        schemathesis.openapi.format(name, st.one_of(good, good, good, st.text(max_size=40)))
    schemathesis.openapi.format("sheet", _sheets())


def asked(client: Any, case: Any, **headers: Any) -> Any:
    """What the API answers to a drawn case, sent as another program sends it."""
    query = {key: str(value) for key, value in (case.query or {}).items()}
    if case.media_type == "multipart/form-data" and isinstance(case.body, dict):
        form = {
            key: str(value) for key, value in case.body.items() if value is not None and key != "recording"
        }
        # mostly a log, now and then anything
        file = getattr(case.body.get("recording"), "data", b"") or PULSES
        form["recording"] = SimpleUploadedFile("log.csv", file)
        return client.post(case.formatted_path, form, headers=headers)
    return client.generic(
        case.method,
        case.formatted_path,
        json.dumps(case.body) if case.media_type else "",
        content_type=case.media_type or "application/json",
        query_params=query,
        headers=headers,
    )


@cache
def validator(path: str, method: str, status: int, closed: Any = None) -> Draft202012Validator | None:
    """Of the answer with that status, as the description has it; None for a status it does not have."""
    from snath.shop.site.api.described import description

    whole = description()
    said = whole["paths"][path][method.lower()]["responses"].get(str(status))
    if said is None:
        return None
    schema = {**said["content"]["application/json"]["schema"], "components": whole["components"]}
    return Draft202012Validator(closed(schema) if closed else schema)


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
    _, text = make_key(owner, "benchmark", Scope.MAKE, 1, owner)
    door._asked = door.Rates(1e9, 1e9)
    client = Client(headers={"host": "localhost", "authorization": f"Bearer {text}"})
    client.raise_request_exception = False
    codes: Counter[tuple[str, str, int]] = Counter()
    outside: list[str] = []
    logging.getLogger("django.request").setLevel(logging.CRITICAL)  # refusals are counted below
    begun = time.perf_counter()
    name_formats()
    for found in schemathesis.openapi.from_dict(door.description()).get_all_operations():
        _one(found.ok(), client, codes, outside)
    lines = [(*where, count) for where, count in sorted(codes.items())]
    table(("address", "method", "status", "answers"), lines, f"in {time.perf_counter() - begun:.0f} s")
    for line in outside[:20]:
        print(f"  outside: {line}")
    good = sum(count for (_, _, status), count in codes.items() if status < 300)
    print(f"taken (2xx): {good} of {sum(codes.values())}")
    verdict("answers of 500 and more", sum(n for (_, _, status), n in codes.items() if status >= 500), 0)
    verdict("answers outside their schema", len(outside), 0)


def _one(operation: Any, client: Any, codes: Counter[tuple[str, str, int]], outside: list[str]) -> None:
    @given(case=operation.as_strategy())
    @settings(
        max_examples=share_of(CASES),
        deadline=None,
        database=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    def tried(case: Any) -> None:
        reply = asked(client, case)
        codes[operation.path, case.method, reply.status_code] += 1
        schema = validator(operation.path, case.method, reply.status_code)
        faults = (
            ["not described"] if schema is None else [one.message for one in schema.iter_errors(reply.json())]
        )
        if faults:
            outside.append(f"{case.method} {operation.path} {reply.status_code}: {faults[0][:200]}")

    tried()


if __name__ == "__main__":
    main()
