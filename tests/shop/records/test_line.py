"""The line of recordings: first come first read, held by leases, and nothing lost where a reader dies."""

from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta

import pytest
from django.db import OperationalError, connection, transaction
from django.utils import timezone

from snath.quantities.errors import InputError
from snath.shop.records import line
from snath.shop.records.line import ask, claim, newest_answer, place, put_back, renew, settle
from snath.shop.records.models import Person, Progress, RecordingAsk

SHA256 = "ab" * 32


@pytest.fixture
def who(db) -> Person:
    return Person.objects.create(name="mechanic")


def put(who: Person, key: str) -> RecordingAsk:
    return ask(who, key=key, source=SHA256, asked="{}", path="/measure/", entries="{}")


def test_who_came_first_is_read_first_and_everybody_sees_how_many_come_before(who):
    rows = [put(who, key) for key in "abc"]
    assert [place(row) for row in rows] == [0, 1, 2]
    taken = claim("reader 1")
    assert taken == rows[0]
    assert [place(row) for row in rows[1:]] == [1, 2]
    assert settle(taken, '"read"')
    assert [place(row) for row in rows[1:]] == [0, 1]
    assert newest_answer("a").answer == '"read"'
    assert newest_answer("b") is None


def test_what_somebody_waits_for_already_keeps_its_place(who):
    first = put(who, "a")
    put(who, "b")
    assert put(who, "a") == first
    other = put(Person.objects.create(name="other"), "a")
    assert other != first  # it is their own page that waits


def test_one_person_and_all_together_have_only_so_many_places(who, monkeypatch):
    monkeypatch.setattr(line, "MOST_OF_ONE", 2)
    monkeypatch.setattr(line, "MOST", 3)
    put(who, "a"), put(who, "b")
    with pytest.raises(InputError, match=r"wait to be read already \(2\)"):
        put(who, "c")
    put(Person.objects.create(name="second"), "c")
    with pytest.raises(InputError, match=r"wait to be read already \(3\)"):
        put(Person.objects.create(name="third"), "d")


def test_a_lease_that_ran_out_is_free_again_and_the_late_one_cannot_answer(who):
    put(who, "a")
    dead = claim("dead")
    assert claim("other") is None  # held
    RecordingAsk.objects.update(leased_until=timezone.now() - timedelta(seconds=1))
    alive = claim("other")
    assert (alive.pk, alive.tries) == (dead.pk, 0)  # nobody knows that it was the recording's doing
    assert not renew(dead, done_s=1.0, of_s=2.0)
    assert not settle(dead, '"too late"')
    assert renew(alive, done_s=1.0, of_s=2.0)
    assert settle(alive, '"read"')
    assert RecordingAsk.objects.get().answer == '"read"'


def test_a_lease_given_by_a_clock_that_was_years_ahead_holds_up_nobody_until_then(who):
    put(who, "a")
    claim("dead")
    RecordingAsk.objects.update(leased_until=timezone.now() + timedelta(days=900))
    assert claim("other").holder == "other"
    assert claim("third") is None


def test_a_recording_that_brings_its_reader_down_is_tried_once_more_at_its_old_place(who):
    put(who, "a"), put(who, "b")
    for _ in range(5):  # the bench itself was killed: that counts for nothing
        claim("dead")
        RecordingAsk.objects.update(leased_until=timezone.now() - timedelta(seconds=1))
    taken = claim("r")
    assert put_back(taken)
    again = claim("r")
    assert again == taken
    assert not put_back(again)


def test_answers_are_forgotten_after_a_day_and_what_waits_is_not(who):
    put(who, "a")
    settle(claim("r"), "{}")
    put(who, "b")
    RecordingAsk.objects.update(asked_at=timezone.now() - timedelta(days=3))
    line.sweep()
    assert RecordingAsk.objects.count() == 2
    RecordingAsk.objects.filter(progress=Progress.DONE).update(ended_at=timezone.now() - timedelta(days=2))
    line.sweep()
    assert RecordingAsk.objects.get().key == "b"


@pytest.mark.django_db(transaction=True)
def test_of_many_readers_at_once_no_two_take_the_same():
    who = Person.objects.create(name="mechanic")
    for number in range(8):
        put(who, f"key {number}")

    def take(reader: int) -> list[int]:
        taken = []
        try:
            while True:
                try:
                    if not line._free().exists():
                        return taken
                    row = claim(f"reader {reader}")
                except OperationalError:  # SQLite in memory says so where a file would wait
                    continue
                taken += [row.pk] if row else []
        finally:
            connection.close()

    with ThreadPoolExecutor(4) as pool:
        lists = list(pool.map(take, range(4)))
    taken = [pk for one in lists for pk in one]
    assert len(taken) == len(set(taken)) == 8


@pytest.mark.django_db(transaction=True)
def test_who_takes_a_recording_does_not_wait_for_somebody_who_is_just_taking_another():
    if connection.vendor != "postgresql":
        pytest.skip("SQLite lets one write at a time: there is nothing to pass over")
    who = Person.objects.create(name="mechanic")
    put(who, "a"), put(who, "b")

    def other() -> RecordingAsk | None:
        try:
            return claim("two")
        finally:
            connection.close()

    with ThreadPoolExecutor(1) as pool, transaction.atomic():
        first = claim("one")  # its row stays locked until the end of this transaction
        second = pool.submit(other).result(timeout=60)
    assert (first.key, second.key) == ("a", "b")
