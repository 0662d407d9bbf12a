"""Whatever is changed past the program is named, and what nothing can prove is said."""

import json
from datetime import UTC, date, datetime, timedelta

import pytest
from django.test import Client

from snath.decisions.reading.check import Point
from snath.shop.records import store
from snath.shop.records.attachments import keep_recording
from snath.shop.records.instrument_checks import record_check
from snath.shop.records.log import KEPT
from snath.shop.records.models import (
    Attachment,
    AuditEntry,
    ChainHead,
    InstrumentRecord,
    JobRecord,
    Role,
    ShopRule,
)
from snath.shop.records.verify import Verified, verify
from tests.shop.records.shop_of_our_own import customer, job_json, machine, person, result_json

FINDINGS = ("breaks", "spoiled", "lists", "evidence", "log", "rows")


@pytest.fixture
def shop(db):
    """A job of two versions on a recording, an instrument that is checked, and an own rule."""
    who = person(Role.MECHANIC)
    InstrumentRecord.objects.create(code="tach-1", name="grey", due_on=date(2027, 1, 2))
    ShopRule.objects.create(rule_id="own", text="x = 1", changed_by=who)
    job = store.open_job(who, machine=machine(customer()))
    kept = keep_recording([b"sound"], "x.wav", who, job=job)
    text = json.loads(job_json()) | {"evidence": [{"sha256": kept.sha256, "media": kept.media}]}
    for expected in range(2):
        store.save_version(job, json.dumps(text), result_json("fail"), expected, who)
    store.open_job(who)
    assert verify().whole
    return job


def found(result: Verified) -> dict[str, str]:
    """What was found wrong, in words, by kind."""
    told = {name: " ".join(map(str, getattr(result, name))) for name in FINDINGS}
    return {name: words for name, words in told.items() if words}


# What a hand at the database changes; which kind of finding names it, and with which words.
HANDS = {
    "the list's verdict is set to pass": (
        lambda job: JobRecord.objects.filter(pk=job.pk).update(verdict="pass"), "lists", "verdict",
    ),
    "a job's version number is set back": (
        lambda job: JobRecord.objects.filter(pk=job.pk).update(version=1), "lists", "version",
    ),
    "a figure of the list is changed": (
        lambda job: JobRecord.objects.filter(pk=job.pk).update(ceiling_rev_s=99.0), "lists", "ceiling_rev_s",
    ),
    "a job's customer is cleared": (
        lambda job: JobRecord.objects.filter(pk=job.pk).update(customer=None), "rows", "jobrecord",
    ),
    "an attachment's row is taken out": (
        lambda job: Attachment.objects.all().delete(), "evidence", "not on its job any more",
    ),
    "an attachment is moved to another job": (
        lambda job: Attachment.objects.update(job=JobRecord.objects.exclude(pk=job.pk).get()), "evidence", "not on its",
    ),
    "an attachment is renamed": (lambda job: Attachment.objects.update(note="x"), "rows", "attachment"),
    "the log is emptied": (lambda job: AuditEntry.objects.all().delete(), "log", "newest entries are missing"),
    "an entry of the log is taken out": (
        lambda job: AuditEntry.objects.filter(did="saved job").first().delete(), "log", "does not follow",
    ),
    "an entry names somebody else": (
        lambda job: AuditEntry.objects.filter(did="opened job").update(who="nobody"), "log", "was changed",
    ),
    "the newest entry is taken out": (
        lambda job: AuditEntry.objects.order_by("-pk").first().delete(), "log", "newest entries are missing",
    ),
    "an instrument's next date is moved": (
        lambda job: InstrumentRecord.objects.update(due_on=date(2030, 1, 1)), "rows", "instrumentrecord",
    ),
    "an own rule is switched off": (lambda job: ShopRule.objects.update(in_force=False), "rows", "shoprule"),
    "an own rule is taken out": (lambda job: ShopRule.objects.all().delete(), "rows", "taken out"),
}  # fmt: skip


@pytest.mark.parametrize("hand", HANDS)
def test_what_a_hand_at_the_database_changes_is_named(shop, hand):
    change, kind, words = HANDS[hand]
    change(shop)
    result = verify()
    assert not result.whole
    assert words in found(result)[kind]


def test_whatever_the_program_itself_changes_is_no_finding(shop):
    who = person(Role.MECHANIC, name="another")
    tach, rule = InstrumentRecord.objects.get(), ShopRule.objects.get()
    record_check(tach, date(2026, 3, 1), "counter", [Point(60.1, 60.0, 0.001)], who)
    rule.in_force = False
    rule.save()
    keep_recording([b"more"], "y.wav", who, job=shop)
    shop.title = "as the customer calls it"
    shop.save()
    store.save_version(shop, job_json("third"), result_json(), 2, who)
    store.audit(who, "logged in")
    assert found(verify()) == {}


def test_entries_and_rows_older_than_the_chain_are_said_to_be_unproved_and_no_finding(shop):
    AuditEntry.objects.update(hash="", prev_hash="", digest="")
    ChainHead.objects.update(log_hash="")
    result = verify()
    assert result.whole
    assert result.older_entries == AuditEntry.objects.count()
    assert result.older_rows == 5  # an instrument, a rule, a recording and two jobs
    store.audit(person(Role.OWNER), "logged in")
    assert verify().whole
    AuditEntry.objects.create(at=datetime.now(UTC), who="smuggled in", did="saved job")
    assert "changed" in found(verify())["log"]


def test_notes_of_rows_are_not_shown_among_what_people_did(shop):
    page = Client(HTTP_HOST="localhost").get("/people/log/").content.decode()
    assert AuditEntry.objects.filter(did=KEPT).exists()
    assert "saved job" in page
    assert "jobrecord" not in page
    assert "instrumentrecord" not in page


def test_a_job_saved_later_than_the_list_says_is_named(shop):
    JobRecord.objects.filter(pk=shop.pk).update(changed_at=datetime.now(UTC) + timedelta(days=1))
    assert "changed_at" in found(verify())["lists"]
