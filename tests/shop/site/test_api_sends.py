"""Other programs send recordings and sheets: they stand in the shop's own line and shelf, once, within their rights."""

import json
from pathlib import Path

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils import timezone

from snath.decisions.machine.sheet import read_sheet
from snath.shop.bench.fleet.kept import asked_now, machine_of, worked_by
from snath.shop.fleet.worked import Task, row_of
from snath.shop.records import line
from snath.shop.records.api_keys import Scope
from snath.shop.records.fleet import FleetEntry
from snath.shop.records.keys import make_key
from snath.shop.records.models import JobRecord, MachineRecord, Person, RecordingAsk
from snath.shop.records.people import Kind, Role
from snath.shop.site.access import is_known
from snath.shop.site.api import door
from snath.shop.site.data_folder import DataFolder
from snath.shop.site.line_keeper import read_here
from tests.shop.site.api_client import by_command, client, get, keeps, posted

pytestmark = pytest.mark.django_db
SHEET = "examples/direct_21_inch.toml"
TEXT = Path(SHEET).read_text("utf-8")
PULSES = (
    "t_s\n" + "".join(f"{i / 55:.9f}\n" for i in range(100))
).encode()  # by hand: 3,300 rpm at one a turn


@pytest.fixture(autouse=True)
def _shop(monkeypatch, settings, tmp_path):
    settings.FOLDER = DataFolder(tmp_path)
    monkeypatch.setattr(door, "_asked", door.Rates(1e6, 1e6))


@pytest.fixture
def person() -> Person:
    return Person.objects.create(name="Programmer", role=Role.MECHANIC, kind=Kind.LOGIN)


@pytest.fixture
def text(person) -> str:
    return make_key(person, "dealer", Scope.MAKE, 30, person)[1]


def sent(text, content=PULSES, **said):
    return client(text).post("/api/1/read", {"recording": SimpleUploadedFile("log.csv", content), **said})


def test_a_recording_is_answered_as_the_command_reads_it(text, tmp_path):
    (tmp_path / "log.csv").write_bytes(PULSES)
    found = keeps(sent(text, per_turn="1", sheet=TEXT), "read")
    assert found == by_command("read", tmp_path / "log.csv", "--per-turn", 1, "--sheet", SHEET)
    assert found["rpm"] == pytest.approx(3300, abs=found["u_rpm"])
    german = keeps(sent(text, per_turn="1", decimal_mark=",", from_s="0.5"), "read")
    options = ("--per-turn", 1, "--decimal-mark", ",", "--from", 0.5)
    assert german == by_command("read", tmp_path / "log.csv", *options)


def test_it_stands_in_the_line_and_is_asked_for_by_its_number(text, person, settings):
    settings.READERS = 1  # somebody else reads; here nobody does until `read_here`
    waits = sent(text, per_turn="1")
    assert (waits.status_code, waits.headers["Retry-After"]) == (202, "1")
    told = keeps(waits, "read")
    number = told["reading"]
    assert told == {"reading": number, "progress": "waiting", "before": 0, "done_s": None, "of_s": None}
    assert sent(text, per_turn="1").json() == told  # the same once more keeps its place
    assert client(text).get(f"/api/1/readings/{number}").status_code == 202
    read_here()
    found = get(client(text).get(f"/api/1/readings/{number}"), "readings/{number}")
    assert found["decided"] is True
    assert keeps(sent(text, per_turn="1"), "read") == found  # known by now
    other = make_key(Person.objects.create(name="other"), "x", Scope.WORK, 1, person)[1]
    for asks, path in ((other, number), (text, number + 1), (text, "x")):
        reply = client(asks).get(f"/api/1/readings/{path}")
        assert reply.status_code == (422 if path == "x" else 404)
        assert get(reply, "readings/{number}")["errors"][0]["field"] == "number"


def test_where_too_many_wait_it_is_refused_in_words_and_told_when_to_come_again(text, settings, monkeypatch):
    settings.READERS = 1
    monkeypatch.setattr(line, "MOST_OF_ONE", 1)
    assert sent(text, per_turn="1").status_code == 202
    reply = sent(text, per_turn="2")
    assert (reply.status_code, reply.headers["Retry-After"]) == (503, "60")
    assert "wait to be read already" in keeps(reply, "read")["errors"][0]["allowed"]
    assert RecordingAsk.objects.count() == 1


@pytest.mark.parametrize(
    ("said", "field"),
    [
        ({"content": b""}, "recording"),
        ({"content": b"\x00\x01nothing"}, "recording"),
        ({"sheet": "nothing"}, "sheet"),
        ({"sheet": TEXT, "at": "moon"}, "at"),
        ({"per_turn": "0"}, "per_turn.constrained-float"),
        ({"clock": "nan"}, "clock"),
        ({"marks": "2.5"}, "marks"),
        ({"kind": "smell"}, "kind"),
        ({"condition": "asleep"}, "condition"),
        ({"colour": "red"}, "colour"),
        ({"from_s": "3", "to_s": "2"}, "from_s"),
    ],
)
def test_a_wrong_recording_or_word_is_told_with_its_field(text, said, field):
    reply = sent(text, **said)
    assert reply.status_code == 422
    faults = keeps(reply, "read")["errors"]
    assert field in {one["field"] for one in faults}
    assert "/" not in faults[0]["given"]  # no place on the shop's disk


def test_what_is_no_form_is_refused(text):
    ask = client(text)
    assert keeps(ask.post("/api/1/read", "x", content_type="application/json"), "read")["errors"]
    broken = ask.post("/api/1/read", b"--x\r\nnothing", content_type="multipart/form-data; boundary=x")
    assert broken.status_code in (400, 422)
    assert keeps(broken, "read")["errors"]
    assert (
        keeps(ask.post("/api/1/read", {"recording": "a text"}), "read")["errors"][0]["field"] == "recording"
    )


def test_only_a_key_that_holds_lets_a_large_body_in_from_elsewhere(lan, text):
    def known(authorization):
        return is_known({"PATH_INFO": "/api/1/read", "REMOTE_ADDR": "192.168.1.20", **authorization})

    assert known({"HTTP_AUTHORIZATION": f"Bearer {text}"})
    assert not known({"HTTP_AUTHORIZATION": f"Bearer {text}x"})
    assert not known({})


def opened(text, sheet=TEXT, key="order-2026-0001"):
    return posted("jobs", {"sheet": sheet, "idempotency_key": key}, text)


def test_a_job_is_opened_once_for_a_key_however_often_it_is_asked_for(text, person):
    first = opened(text)
    assert first.status_code == 201
    job = keeps(first, "jobs")
    assert (job["number"], job["verdict"], job["waits_for"]) == (
        JobRecord.objects.get().number,
        None,
        "reading",
    )
    again = opened(text)
    assert (again.status_code, keeps(again, "jobs")) == (200, job)
    changed = opened(text, TEXT.replace("21 in", "20 in"))
    assert changed.status_code == 422
    assert str(job["number"]) in keeps(changed, "jobs")["errors"][0]["allowed"]
    assert opened(text, key="order-2026-0002").json()["number"] == job["number"] + 1
    theirs = make_key(Person.objects.create(name="other", role=Role.MECHANIC), "x", Scope.MAKE, 1, person)[1]
    assert opened(theirs).json()["number"] == job["number"] + 2  # a key of theirs is none of ours
    assert JobRecord.objects.count() == 3
    assert {one.version for one in JobRecord.objects.all()} == {1}
    assert JobRecord.objects.get(number=job["number"]).versions.get().who == person.name


def test_a_machine_with_its_serial_number_is_known_again(text):
    with_serial = f'serial = "A 17"\n{TEXT}'
    opened(text, with_serial), opened(text, with_serial, "order-2026-0002")
    assert MachineRecord.objects.count() == 1
    assert JobRecord.objects.count() == 2
    # Property: whoever reads it from the shelf, with whatever mark of their own, reads what was sent.
    kept = MachineRecord.objects.get().sheet
    assert read_sheet(kept, decimal_mark=",") == read_sheet(with_serial)


@pytest.mark.parametrize(
    "wrong",
    [
        {"sheet": "name = 3", "idempotency_key": "order-2026-0001"},
        {"sheet": TEXT, "idempotency_key": "short"},
        {"sheet": TEXT, "idempotency_key": "order of today"},
        {"sheet": TEXT},
    ],
)
def test_a_wrong_one_opens_nothing(text, wrong):
    reply = posted("jobs", wrong, text)
    assert reply.status_code == 422
    assert keeps(reply, "jobs")["errors"]
    assert (JobRecord.objects.count(), MachineRecord.objects.count()) == (0, 0)


def test_a_key_opens_no_job_its_scope_or_its_person_may_not(text, person):
    for scope in (Scope.WORK, Scope.READ):
        assert opened(make_key(person, "x", scope, 1, person)[1]).status_code == 403
    reader = Person.objects.create(name="Apprentice", role=Role.READER)
    reply = opened(make_key(reader, "x", Scope.MAKE, 1, person)[1])
    assert reply.status_code == 403
    assert keeps(reply, "jobs")["errors"][0]["field"] == "person"
    assert JobRecord.objects.count() == 0


def test_the_fleet_is_listed_by_due_date_without_the_words_of_another_book(text):
    asked = asked_now()
    days = (
        ("later", "2999-01-01", ""),
        ("over due", "2020-01-01", "another program"),
        ("never read", None, ""),
    )
    old = {"due": True, "due_on": "2020-01-01"}  # as it stood on the day it was worked
    for name, due, by in days:
        machine = MachineRecord.objects.create(name=name, sheet=TEXT)
        entry = FleetEntry.objects.create(machine=machine, number=name, due_on=due)
        entry.refresh_from_db()
        entry.row = json.dumps(row_of(Task(machine_of(entry), asked)) | old)
        entry.worked_by = by or worked_by(asked)
        entry.save()
    told = get(client(text).get("/api/1/fleet"), "fleet")
    assert told["today"] == timezone.localdate().isoformat()
    assert [(one["number"], one["due_on"], one["due"]) for one in told["rows"]] == [
        ("never read", "", True),
        ("over due", "2020-01-01", True),
        ("later", "2999-01-01", False),
    ]
    # By hand: 19,000 ft/min over pi times 21 in is 3,455.9; the other program's row has no figures.
    assert [one["ceiling_rpm"] for one in told["rows"]] == [3455, None, 3455]
    assert [one["number"] for one in client(text).get("/api/1/fleet?after=2").json()["rows"]] == ["later"]
