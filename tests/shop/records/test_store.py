"""Work is added as versions: never edited, never over somebody else's, and a change to one shows."""

from datetime import timedelta

import pytest
from django.db import DatabaseError, connection, transaction
from django.utils import timezone

from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.quantities.units import show
from snath.shop.answers.speeds import floor_rpm
from snath.shop.records import store
from snath.shop.records.chain import hash_of, verify_chain
from snath.shop.records.jobs import ChainHead, Draft, JobRecord, JobVersion, NeverEdited, Waits
from snath.shop.records.people import AuditEntry, Role
from snath.shop.records.touched import jobs_touched
from tests.shop.records.shop_of_our_own import customer, job_json, machine, person, result_json, save

pytestmark = pytest.mark.django_db


def test_a_saved_version_holds_the_texts_byte_for_byte_and_who_and_when(mechanic):
    job = store.open_job(mechanic, machine=machine(customer()))
    text = job_json("Schlitten, ½ in, 早い")
    version = store.save_version(job, text, result_json(), 0, mechanic, note="as found")
    kept = JobVersion.objects.get(pk=version.pk)
    assert (kept.job_json, kept.result_json, kept.note) == (text, result_json(), "as found")
    assert kept.who == mechanic.name
    assert kept.version == 1
    assert job.version == 1


def test_a_list_of_jobs_shows_what_the_newest_version_says(mechanic):
    job = store.open_job(mechanic)
    store.save_version(job, job_json(found=57.5), result_json("pass"), 0, mechanic, waits_for=Waits.SIGNATURE)
    kept = JobRecord.objects.get(pk=job.pk)
    assert (kept.verdict, kept.as_found_rev_s, kept.as_left_rev_s) == ("pass", 57.5, None)
    assert (kept.ceiling_rev_s, kept.target_rev_s, kept.waits_for) == (57.6, 55.0, "signature")


@pytest.mark.parametrize(("rpm", "kept"), [(3800, 63.3333333), (2000, 33.3333333), (1000, 16.6666667)])
def test_a_ceiling_of_whole_rpm_is_not_listed_as_one_less(rpm, kept):
    """By hand: 3,800 a minute are 63.333... a second, nine digits of which are 3,799.999998 a minute again."""
    job = JobRecord(ceiling_rev_s=kept)
    assert show(job.ceiling, "rpm", round="down") == f"{rpm:,} rpm"
    assert floor_rpm(job.ceiling) == rpm


def test_a_ceiling_under_a_whole_figure_stays_under_it():
    assert floor_rpm(JobRecord(ceiling_rev_s=float(f"{3799.999 / 60:.9g}")).ceiling) == 3799
    assert JobRecord().ceiling is None


def test_jobs_are_numbered_one_after_the_other_and_belong_to_the_machines_customer(mechanic):
    owner = customer()
    jobs = [store.open_job(mechanic, machine=machine(owner)) for _ in range(3)]
    assert [job.number for job in jobs] == [1, 2, 3]
    assert jobs[0].customer == owner


def test_the_second_of_two_savers_sees_both_and_nothing_is_overwritten(mechanic):
    other = person(Role.MECHANIC, "the other")
    job = store.open_job(mechanic)
    first, second = JobRecord.objects.get(pk=job.pk), JobRecord.objects.get(pk=job.pk)
    save(first, other, mark="theirs")
    with pytest.raises(store.Conflict) as both:
        save(second, mechanic, mark="mine")
    assert both.value.theirs.job_json == job_json("theirs")
    assert both.value.theirs.who == "the other"
    assert both.value.mine.job_json == job_json("mine")
    assert JobVersion.objects.count() == 1
    chosen = save(second, mechanic, expected=both.value.theirs.version, mark="mine")
    assert chosen.version == 2
    assert verify_chain() == ()


def test_our_own_code_cannot_edit_or_delete_a_version(mechanic):
    version = save(store.open_job(mechanic), mechanic)
    version.note = "changed"
    with pytest.raises(NeverEdited):
        version.save()
    with pytest.raises(NeverEdited):
        version.delete()
    with pytest.raises(NeverEdited):
        JobVersion.objects.filter(pk=version.pk).update(note="changed")
    with pytest.raises(NeverEdited):
        JobVersion.objects.all().delete()


def test_the_database_itself_refuses_to_edit_a_version(mechanic):
    version = save(store.open_job(mechanic), mechanic)
    with (
        pytest.raises(DatabaseError, match="a saved version is never edited"),
        transaction.atomic(),
        connection.cursor() as cursor,
    ):
        cursor.execute("UPDATE records_jobversion SET note = 'x' WHERE sequence = %s", [version.sequence])


def _tamper(statement: str, *values: object) -> None:
    """Change a row as somebody with the database file in hand would."""
    with connection.cursor() as cursor:
        table = " ON records_jobversion" if connection.vendor == "postgresql" else ""
        cursor.execute(f"DROP TRIGGER IF EXISTS version_never_edited{table}")
        cursor.execute(statement, values)


@pytest.mark.parametrize(
    "column", ["job_json", "result_json", "program", "who", "note", "prev_hash", "hash", "version", "at"]
)
def test_a_changed_column_breaks_the_chain(mechanic, column):
    job = store.open_job(mechanic)
    for expected in range(3):
        save(job, mechanic, expected=expected)
    assert verify_chain() == ()
    value = {"version": 9, "at": "2020-01-01 00:00:00+00:00"}.get(column, "0" * 20)
    _tamper(f"UPDATE records_jobversion SET {column} = %s WHERE sequence = 2", value)
    assert verify_chain()[0].sequence == 2


def test_a_changed_version_with_a_hash_worked_out_anew_breaks_the_chain_at_the_next(mechanic):
    job = store.open_job(mechanic)
    for expected in range(3):
        save(job, mechanic, expected=expected)
    second = JobVersion.objects.get(pk=2)
    second.job_json = job_json("forged")
    _tamper(
        "UPDATE records_jobversion SET job_json = %s, hash = %s WHERE sequence = 2",
        second.job_json,
        hash_of(second),
    )
    assert [found.sequence for found in verify_chain()] == [3]


@pytest.mark.parametrize("missing", [1, 2, 3])
def test_a_deleted_version_shows_even_the_newest(mechanic, missing):
    job = store.open_job(mechanic)
    for expected in range(3):
        save(job, mechanic, expected=expected)
    _tamper("DELETE FROM records_jobversion WHERE sequence = %s", missing)
    assert verify_chain()


def test_text_cannot_be_shifted_from_one_field_into_the_next(mechanic):
    # Property: with lengths in the hash, ("ab", "c") and ("a", "bc") differ.
    version = save(store.open_job(mechanic), mechanic)
    before = hash_of(version)
    version.job_json, version.result_json = (
        version.job_json + version.result_json[:1],
        version.result_json[1:],
    )
    assert hash_of(version) != before


def test_a_shop_that_moved_takes_no_more_work_here(mechanic):
    job = store.open_job(mechanic)
    ChainHead.objects.update(closed="moved to postgresql://shop/snath")
    with pytest.raises(store.Closed, match="moved to postgresql"):
        save(job, mechanic)
    with pytest.raises(store.Closed):
        store.open_job(mechanic)


def test_every_save_says_who_did_it(mechanic):
    job = store.open_job(mechanic)
    save(job, mechanic)
    said = AuditEntry.objects.order_by("pk").values_list("who", "did", "what")
    assert list(said)[-2:] == [
        (mechanic.name, "opened job", str(job.number)),
        (mechanic.name, "saved job", f"{job.number} version 1"),
    ]


def test_jobs_that_used_a_wrong_instrument_or_rule_are_one_query_away(mechanic, django_assert_num_queries):
    jobs = [store.open_job(mechanic) for _ in range(4)]
    for job, tach in zip(jobs, ["tach-1", "tach-2", "tach-1", "tach-3"], strict=True):
        save(job, mechanic, instrument=tach, rule=f"rule of {tach}")
    save(jobs[0], mechanic, expected=1, instrument="tach-2", rule="another")  # it did use tach-1 before
    with django_assert_num_queries(1):
        touched = list(jobs_touched("instrument", "tach-1"))
    assert {job.number for job in touched} == {1, 3}
    assert {job.number for job in jobs_touched("rule", "rule of tach-2")} == {2}
    assert not jobs_touched("rule", "tach-1")


def test_a_draft_is_one_per_person_and_form_and_gone_once_saved(mechanic):
    other = person(Role.MECHANIC, "the other")
    store.save_draft(mechanic, "job-1", {"blade": "21 3/4 i"})
    store.save_draft(mechanic, "job-1", {"blade": "21 3/4 in"})
    store.save_draft(other, "job-1", {"blade": "20 in"})
    assert store.kept_draft(mechanic, "job-1") == {"blade": "21 3/4 in"}
    assert store.kept_draft(other, "job-1") == {"blade": "20 in"}
    store.drop_draft(mechanic, "job-1")
    assert store.kept_draft(mechanic, "job-1") == {}


def test_saving_costs_the_same_number_of_queries_however_much_is_there(
    mechanic, django_assert_max_num_queries
):
    job = store.open_job(mechanic, machine=machine(customer()))
    for expected in range(30):
        save(job, mechanic, expected=expected)
    with django_assert_max_num_queries(16):
        save(job, mechanic, expected=30)


def test_a_job_far_longer_than_a_shop_writes_is_refused_and_the_one_before_stays(mechanic):
    job = store.open_job(mechanic)
    save(job, mechanic)
    with pytest.raises(InputError) as refused:
        store.save_version(job, "x" * (store.LONGEST_JOB + 1), result_json(), 1, mechanic)
    assert refused.value.allowed == Message("fault.characters", most=store.LONGEST_JOB)
    assert JobRecord.objects.get(pk=job.pk).version == 1


def test_a_thousand_begun_forms_of_one_person_fill_no_disk_and_lose_nothing_that_is_new(
    mechanic, monkeypatch
):
    monkeypatch.setattr(store, "MOST_DRAFTS", 3)
    assert store.save_draft(mechanic, "yard:1", {"kind": ["card"]})  # taken down without the bench: no form
    assert [store.save_draft(mechanic, f"job:{n}:sheet", {"n": [str(n)]}) for n in range(4)] == [True] * 3 + [
        False
    ]
    assert store.save_draft(mechanic, "job:2:sheet", {"n": ["typed on"]})  # one that is kept goes on
    assert store.save_draft(person(Role.MECHANIC, "the other"), "job:9:sheet", {})
    Draft.objects.filter(key__in=("yard:1", "job:0:sheet")).update(
        changed_at=timezone.now() - timedelta(days=90)
    )
    assert store.save_draft(mechanic, "job:3:sheet", {"n": ["3"]})
    kept = Draft.objects.filter(person=mechanic).values_list("key", flat=True)
    assert sorted(kept) == ["job:1:sheet", "job:2:sheet", "job:3:sheet", "yard:1"]
