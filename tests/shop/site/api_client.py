"""Ask the API as another program does, and hold what it answers against its own description."""

import json
from functools import partial

from click.testing import CliRunner
from django.test import Client

from benchmarks.api import validator
from snath.shop.cli.main import main
from tests.schemas import closed


def client(text=None) -> Client:
    headers = {"host": "localhost"} | ({"authorization": f"Bearer {text}"} if text else {})
    return Client(headers=headers)


def posted(name, data, text, **more):
    return client(text).post(f"/api/1/{name}", json.dumps(data), content_type="application/json", **more)


def by_command(*words):
    return json.loads(CliRunner().invoke(main, [*map(str, words), "--json"]).stdout)


def keeps(reply, path, method="post"):
    """Its answer, which holds all that is described and nothing else."""
    schema = validator(f"/api/1/{path}", method, reply.status_code, closed)
    assert schema is not None, f"{reply.status_code} is not described"
    schema.validate(reply.json())
    return reply.json()


get = partial(keeps, method="get")
