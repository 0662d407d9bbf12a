"""`snath key`: a key is made and shown once, listed without its text, and withdrawn by its id."""

import json
from contextlib import nullcontext
from datetime import date, timedelta

import pytest
from click.testing import CliRunner
from django.test import Client

from snath.shop.cli import key as command
from snath.shop.cli.main import main
from snath.shop.records.api_keys import ApiKey
from snath.shop.records.models import Person
from snath.shop.records.people import Kind, Role

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _in_this_shop(monkeypatch):
    """The test's own tables in place of a data folder's."""
    monkeypatch.setattr(command, "shop", lambda data, **_: nullcontext(data))
    Person.objects.local_owner()


def told(*words, code=0):
    done = CliRunner().invoke(main, ["key", *words, "--json"])
    assert done.exit_code == code, done.output
    return json.loads(done.stdout)


def answered(text):
    headers = {"host": "localhost", "authorization": f"Bearer {text}"}
    return Client(headers=headers).get("/api/1/openapi.json").status_code


def test_a_key_is_made_shown_once_listed_and_withdrawn():
    assert told("list") == {"keys": []}
    made = told("make", "dealer", "--days", "7")
    text = made.pop("key")
    assert (made["name"], made["scope"], made["holds"], made["used"]) == ("dealer", "work", True, None)
    assert date.fromisoformat(made["ends"]) - date.today() in (timedelta(7), timedelta(6), timedelta(8))
    assert answered(text) == 200
    (listed,) = told("list")["keys"]
    assert listed == made | {"used": listed["used"]}
    assert listed["used"] is not None
    assert text not in CliRunner().invoke(main, ["key", "list"]).output
    assert told("withdraw", made["id"])["holds"] is False
    assert answered(text) == 401
    assert [one["holds"] for one in told("list")["keys"]] == [False]


def test_what_is_shown_to_a_person_names_the_key_and_that_it_is_shown_only_now():
    lines = CliRunner().invoke(main, ["key", "make", "office", "--scope", "read"]).output.splitlines()
    assert answered(lines[0]) == 200
    assert "shown only now" in lines[1]
    assert str(ApiKey.objects.get().pk) in lines[1]


def test_it_asks_for_the_person_that_is_named():
    Person.objects.create(name="Programmer", role=Role.MECHANIC, kind=Kind.LOGIN)
    assert told("make", "dealer", "--person", "Programmer")["person"] == "Programmer"


@pytest.mark.parametrize(
    ("words", "field"),
    [
        (["make"], "name"),
        (["make", ""], "name"),
        (["make", "x" * 61], "name"),
        (["make", "dealer", "--days", "0"], "days"),
        (["make", "dealer", "--days", "731"], "days"),
        (["make", "dealer", "--person", "Nobody"], "person"),
        (["withdraw"], "name"),
        (["withdraw", "dealer"], "name"),
    ],
)
def test_a_wrong_one_is_refused_in_words_and_makes_nothing(words, field):
    (fault,) = told(*words, code=2)["errors"]
    assert fault["field"] == field
    assert ApiKey.objects.count() == 0
