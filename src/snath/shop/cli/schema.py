"""`snath schema`: the JSON Schema of what commands take and answer."""

import json

import click

from snath.quantities.errors import InputError
from snath.quantities.words import one_of_words
from snath.shop.answers.schema import NAMES, schema_of
from snath.shop.cli.answer import answer, answers_plainly


@click.command()
@click.argument("name", required=False)
@answers_plainly
def schema(name: str | None, as_json: bool) -> None:
    """JSON Schema NAME, of something taken (sheet, job, route, stock) or answered; without NAME, which there are."""
    if name is None:
        answer({"schemas": NAMES}, "\n".join(NAMES), as_json=as_json)
    if name not in NAMES:
        raise InputError("name", name, one_of_words(NAMES, name))
    found = schema_of(name)
    answer(found, json.dumps(found, indent=2, ensure_ascii=False), as_json=as_json)
