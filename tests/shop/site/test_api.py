"""Other programs ask by a key in a header: the same answers as the commands, never more than the key's person may."""

import io
import json
import logging
import re
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
import schemathesis
from django.db import OperationalError
from django.db.models import QuerySet
from django.test import Client
from django.utils import timezone
from hypothesis import HealthCheck, Phase, given, settings

from benchmarks.api import asked, name_formats
from snath.shop.records.api_keys import ApiKey, Scope
from snath.shop.records.keys import known_key, make_key, withdraw_key
from snath.shop.records.models import JobRecord, Person
from snath.shop.records.people import Kind, Role
from snath.shop.site.api import door
from snath.shop.site.data_folder import DataFolder
from tests.shop.site.api_client import by_command, client, keeps, posted
from tests.told import refused

pytestmark = pytest.mark.django_db
SHEET = "examples/direct_21_inch.toml"
WITH_COMMAS = "examples/metrisch.toml"


@pytest.fixture(autouse=True)
def _fresh_rates(monkeypatch):
    monkeypatch.setattr(door, "_asked", door.Rates(1e6, 1e6))
    monkeypatch.setattr(door, "_wrong", door.Rates(1e6, 1e6))


@pytest.fixture
def person() -> Person:
    return Person.objects.create(name="Programmer", role=Role.MECHANIC, kind=Kind.LOGIN)


@pytest.fixture
def made(person):
    return make_key(person, "dealer", Scope.WORK, 30, person)


def answers_by(monkeypatch, method, name, does):
    """Put another answer behind one address."""
    changed = (
        replace(one, does=does) if (one.method, one.name) == (method, name) else one for one in door.ADDRESSES
    )
    monkeypatch.setattr(door, "ADDRESSES", tuple(changed))


@pytest.fixture
def reads(person):
    return make_key(person, "office", Scope.READ, 30, person)[1]


def test_answers_are_those_of_the_commands(made):
    sheet = Path(SHEET).read_text("utf-8")
    ask = posted("ask", {"blade": "22 in", "market": "US"}, made[1])
    assert keeps(ask, "ask") == by_command("limit", "--blade", "22 in", "--market", "US")
    # By hand: 19,000 ft/min over pi times 22 in is 3,298.8 a minute.
    assert ask.json()["rpm"] == 3298
    assert keeps(posted("window", {"sheet": sheet}, made[1]), "window") == by_command("window", SHEET)
    judged = posted("judge", {"sheet": sheet, "readings": ["3,190 rpm"], "u": "5 rpm"}, made[1])
    judged = keeps(judged, "judge")
    assert judged == by_command("judge", SHEET, "--reading", "3,190 rpm", "--u", "5 rpm")
    assert judged["speaks_of"] == "speed alone"


def test_an_answer_is_written_as_its_sheet_is(made):
    sent = {"sheet": Path(WITH_COMMAS).read_text("utf-8"), "readings": ["3190 rpm"], "u": "5 rpm"}
    reading = ("--reading", "3190 rpm", "--u", "5 rpm")
    assert posted("judge", sent, made[1]).json() == by_command("judge", WITH_COMMAS, *reading)
    with_points = posted("judge", sent | {"decimal_mark": "."}, made[1]).json()
    assert with_points == by_command("judge", WITH_COMMAS, *reading, "--decimal-mark", ".")


def test_what_nobody_foresaw_is_told_in_json_by_a_number_and_without_its_traceback(made, monkeypatch):
    def breaks(*_):
        raise RuntimeError("a word of a customer")

    answers_by(monkeypatch, "POST", "ask", breaks)
    asking = client(made[1])
    asking.raise_request_exception = False
    reply = asking.post("/api/1/ask", json.dumps({"blade": "22 in"}), content_type="application/json")
    assert reply.status_code == 500
    (fault,) = keeps(reply, "ask")["errors"]
    assert fault["given"] == f"request {reply['X-Request-Number']}"
    assert not any(word in reply.content.decode() for word in ("Traceback", "customer", made[1], ".py"))


@pytest.mark.parametrize(
    ("said", "status", "wait"), [("database is locked", 503, "5"), ("database or disk is full", 507, None)]
)
def test_a_database_that_cannot_be_read_is_told_in_json(said, status, wait, reads, monkeypatch):
    def held(*_):
        raise OperationalError(said)

    answers_by(monkeypatch, "GET", "jobs", held)
    asking = client(reads)
    asking.raise_request_exception = False
    reply = asking.get("/api/1/jobs")
    assert (reply.status_code, reply.headers.get("Retry-After")) == (status, wait)
    assert keeps(reply, "jobs", "get")["errors"][0]["field"] == "shop"


def test_what_stands_before_the_door_refuses_in_json_too(made):
    for headers in (
        {"host": "elsewhere.example"},
        {"origin": "https://elsewhere.example"},
        {"via": "1.1 proxy"},
    ):
        reply = client(made[1]).get("/api/1/openapi.json", headers=headers)
        assert reply.status_code in (400, 403)
        assert set(reply.json()) == {"errors"}


def test_a_key_whose_last_use_cannot_be_kept_is_answered_all_the_same(made, monkeypatch):
    def held(*_, **__):
        raise OperationalError("database is locked")

    with monkeypatch.context() as lock:
        lock.setattr(QuerySet, "update", held)
        assert client(made[1]).get("/api/1/openapi.json").status_code == 200
    assert ApiKey.objects.get().used_at is None


@pytest.mark.parametrize(
    "path", ["ask", "read", "readings/1", "jobs", "fleet", "openapi.json", "", "nothing"]
)
def test_without_a_key_nothing_is_answered_not_even_here(path, made):
    for text in (None, "snath_wrong", made[1] + "x", made[1][:-1], "", "x" * 5000):
        for reply in (client(text).get(f"/api/1/{path}"), posted(path, {"blade": "22 in"}, text)):
            assert reply.status_code == 401
            assert set(reply.json()) == {"errors"}
            assert not reply.cookies


def test_a_key_counts_in_its_header_only(made):
    for path in (
        f"/api/1/openapi.json?key={made[1]}",
        f"/api/1/openapi.json?authorization=Bearer%20{made[1]}",
    ):
        assert client().get(path).status_code == 401
    by_cookie = client()
    by_cookie.cookies["authorization"] = f"Bearer {made[1]}"
    by_cookie.cookies["snath_session"] = made[1]
    assert by_cookie.get("/api/1/openapi.json").status_code == 401
    good = client(made[1]).get("/api/1/openapi.json")
    assert good.status_code == 200
    assert not good.cookies
    assert not any(name.lower().startswith("access-control") for name in good.headers)


@pytest.mark.parametrize(
    "header", [{"origin": "http://localhost"}, {"origin": "null"}, {"sec-fetch-site": "same-origin"}]
)
def test_no_browsers_page_is_answered_whatever_its_key(header, made):
    reply = client(made[1]).get("/api/1/openapi.json", headers=header)
    assert reply.status_code in (400, 403)


def test_a_key_dies_withdrawn_over_or_with_its_person_at_once(person, made):
    key, text = made
    assert client(text).get("/api/1/openapi.json").status_code == 200
    assert ApiKey.objects.get().used_at is not None
    for change, back in (
        ({"is_active": False}, {"is_active": True}),
        ({"ends_at": timezone.now() - timedelta(seconds=1)}, {"ends_at": timezone.now() + timedelta(days=1)}),
    ):
        rows = (
            Person.objects.filter(pk=person.pk) if "is_active" in change else ApiKey.objects.filter(pk=key.pk)
        )
        rows.update(**change)
        assert client(text).get("/api/1/openapi.json").status_code == 401
        rows.update(**back)
        assert client(text).get("/api/1/openapi.json").status_code == 200
    withdraw_key(ApiKey.objects.get(), person)
    assert client(text).get("/api/1/openapi.json").status_code == 401


def test_it_is_kept_as_a_hash_of_256_random_bits_and_stands_in_no_log(made, person, caplog):
    import base64

    key, text = made
    raw = text.removeprefix("snath_")
    assert len(base64.urlsafe_b64decode(raw + "=" * (-len(raw) % 4))) == 32  # by hand: 256 bits
    assert text not in json.dumps([str(value) for one in ApiKey.objects.values() for value in one.values()])
    with caplog.at_level(logging.DEBUG):
        posted("ask", {"blade": "nonsense"}, text)
        client(text).get("/api/1/nothing")
    assert raw not in caplog.text
    assert known_key(text).pk == key.pk
    assert make_key(person, "other", Scope.WORK, 1, person)[1] != text


def test_a_key_that_may_only_work_lists_nothing_and_one_that_may_read_changes_nothing(reads, made):
    for path in ("jobs", "machines", "fleet"):
        assert client(made[1]).get(f"/api/1/{path}").status_code == 403
    JobRecord.objects.create(
        number=7, title="x", opened_at=timezone.now(), changed_at=timezone.now(), version=1, verdict="pass",
        worked_by="another program",
    )  # fmt: skip
    listed = keeps(client(reads).get("/api/1/jobs"), "jobs", "get")["jobs"]
    assert [(one["number"], one["verdict"]) for one in listed] == [(7, None)]  # a stale word is shown nowhere
    assert client(reads).get("/api/1/jobs?after=7").json() == {"jobs": []}
    assert client(reads).get("/api/1/jobs?after=-1").status_code == 422
    assert posted("jobs", {}, reads).status_code == 403
    for method in ("put", "patch", "delete"):
        refused = getattr(client(reads), method)("/api/1/jobs")
        assert (refused.status_code, refused.headers["Allow"]) == (405, "POST, GET")


@pytest.mark.parametrize(
    ("name", "data", "field"),
    [
        ("ask", {}, "blade"),
        ("ask", {"blade": 22}, "blade"),
        ("ask", {"blade": "22"}, "blade"),
        ("ask", {"blade": "22 in", "colour": "red"}, "colour"),
        ("ask", {"blade": "22 in", "market": "Mars"}, "market"),
        ("ask", {"blade": "22 in", "rule": "none such"}, "rule"),
        ("window", {"sheet": "name = 3"}, "name"),
        ("window", {"sheet": "/etc/passwd"}, "sheet"),
        ("judge", {"sheet": "", "readings": []}, "readings"),
        ("judge", {"sheet": "", "readings": ["3,000 rpm"] * 101}, "readings"),
        ("ask", {"blade": "22 in", "ratio": 21}, "ratio"),
        (
            "judge",
            {"sheet": Path(SHEET).read_text("utf-8"), "readings": ["3000 rpm"], "instrument": "sundial"},
            "instrument",
        ),
    ],
)
def test_every_fault_is_told_with_its_field(name, data, field, made):
    reply = posted(name, data, made[1])
    assert reply.status_code == 422
    assert field in {one["field"] for one in keeps(reply, name)["errors"]}


def test_bodies_and_rates_are_bounded(made, monkeypatch):
    assert posted("ask", {"blade": "x" * 600_000}, made[1]).status_code == 413
    plain = client(made[1]).post("/api/1/ask", "blade=22 in", content_type="text/plain")
    assert plain.status_code == 415
    monkeypatch.setattr(door, "_asked", door.Rates(0.0, 2.0))
    codes = [client(made[1]).get("/api/1/openapi.json").status_code for _ in range(4)]
    assert codes == [200, 200, 429, 429]
    monkeypatch.setattr(door, "_wrong", door.Rates(0.0, 2.0))
    assert [client("snath_x").get("/api/1/ask").status_code for _ in range(3)] == [401, 401, 429]


def test_keys_are_made_with_bounds(person):
    for name, days in (("", 1), ("x" * 61, 1), ("x", 0), ("x", 731)):
        with refused("must be"):
            make_key(person, name, Scope.WORK, days, person)
    person.is_active = False
    with refused("works here"):
        make_key(person, "x", Scope.WORK, 1, person)


def test_the_owners_page_shows_a_key_once_and_withdraws_it(person):
    shop = Client(headers={"host": "localhost"})
    sent = {"name": "dealer", "person": person.pk, "scope": "work", "days": "30"}
    page = shop.post("/people/keys/", sent)
    text = re.search(r"<code[^>]*>(snath_[\w-]+)</code>", page.content.decode()).group(1)
    assert known_key(text)
    assert "no-store" in page.headers["Cache-Control"]
    assert text not in shop.get("/people/keys/").content.decode()
    assert shop.post(f"/people/keys/{ApiKey.objects.get().pk}/").status_code == 302
    assert known_key(text) is None
    assert shop.post("/people/keys/", {**sent, "days": "0"}).status_code == 422


def test_the_client_of_the_docs_works(person, monkeypatch):
    parts = re.findall(r"```python\n(.*?)```", Path("docs/api.md").read_text("utf-8"), re.S)
    _, text = make_key(person, "dealer", Scope.MAKE, 30, person)

    class Reply(io.BytesIO):
        def __enter__(self):
            return self

    def opened(request):
        path = request.full_url.removeprefix("http://localhost:8077")
        sent = client(text).post(path, request.data, content_type=request.get_header("Content-type"))
        return Reply(sent.content)

    monkeypatch.setattr("urllib.request.urlopen", opened)
    monkeypatch.setenv("SNATH_KEY", text)
    told = []
    exec("".join(parts), {"print": told.append})  # the docs' own text
    assert told == [3298, JobRecord.objects.get().number]  # by hand, as above


@pytest.mark.slow
def test_what_its_own_description_says_is_what_it_does(person, settings, tmp_path):
    """A few cases of each address; `python -m benchmarks api` draws many."""
    settings.FOLDER = DataFolder(tmp_path)
    _, text = make_key(person, "tester", Scope.MAKE, 1, person)
    name_formats()
    operations = [one.ok() for one in schemathesis.openapi.from_dict(door.description()).get_all_operations()]
    told = {(one.method.upper(), one.path) for one in operations}
    assert told == {(one.method, one.path) for one in door.ADDRESSES} | {("GET", "/api/1/openapi.json")}
    for operation in operations:
        agrees_with_its_description(operation, {"authorization": f"Bearer {text}", "host": "localhost"})


def agrees_with_its_description(operation, headers):
    @given(case=operation.as_strategy())
    @settings(
        max_examples=4,
        deadline=None,
        database=None,
        derandomize=True,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    def agrees(case):
        reply = asked(client(), case, **headers)
        assert reply.status_code < 500
        keeps(reply, operation.path.removeprefix("/api/1/"), case.method)  # nothing undescribed

    agrees()
