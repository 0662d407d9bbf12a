"""What strangers, proxies and people sent away must not be able to do."""

import threading
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta

import pytest
from django.contrib.sessions.models import Session
from django.db import connection
from django.http import HttpRequest
from django.test import Client
from django.utils import timezone

from snath.shop.records.people import Attempt, Kind, Person, Role
from snath.shop.records.staff import change_person
from snath.shop.site.people import attempts
from tests.shop.site.conftest import Browser

FORWARDED = {
    "HTTP_FORWARDED": "for=203.0.113.9", "HTTP_VIA": "1.1 somewhere", "HTTP_X_FORWARDED_FOR": "203.0.113.9",
    "HTTP_X_FORWARDED_HOST": "shop.example", "HTTP_X_FORWARDED_PROTO": "https", "HTTP_X_REAL_IP": "203.0.113.9",
}  # fmt: skip


@pytest.mark.django_db
@pytest.mark.parametrize("header", FORWARDED)
def test_without_lan_what_a_proxy_on_this_machine_sends_is_not_taken_for_its_owner(header):
    local = Client(HTTP_HOST="localhost:8077")
    assert local.get("/people/").status_code == 200
    assert local.get("/people/", **{header: FORWARDED[header]}).status_code == 403


@pytest.mark.django_db(transaction=True)
def test_of_thirty_wrong_passwords_at_once_at_most_five_are_looked_at(lan, monkeypatch):
    person = Person(name="long grass", role=Role.MECHANIC, kind=Kind.LOGIN)
    person.set_password("a dull blade tears")
    person.save()
    looked, lock = [], threading.Lock()
    real = attempts.try_once

    def counted(request, name):
        taken = real(request, name)
        if taken is not None:
            with lock:
                looked.append(name)
        return taken

    monkeypatch.setattr("snath.shop.site.people.login_views.try_once", counted)

    def wrong(number: int) -> int:
        try:
            return (
                Browser().post("/login/", {"name": "long grass", "password": f"guess {number}"}).status_code
            )
        finally:
            connection.close()

    with ThreadPoolExecutor(10) as pool:
        answers = list(pool.map(wrong, range(30)))
    assert 1 <= len(looked) <= attempts.BOTH
    assert answers.count(200) == len(looked)  # the others must wait, or met somebody else's lock


def test_tries_counted_while_the_clock_was_ahead_lock_nobody_out_until_then(db):
    request = HttpRequest()
    request.META["REMOTE_ADDR"] = "192.0.2.7"
    for _ in range(attempts.BOTH):
        assert attempts.try_once(request, "long grass")
    assert attempts.try_once(request, "long grass") is None
    Attempt.objects.update(at=timezone.now() + timedelta(days=400))  # the clock was set right since
    assert attempts.try_once(request, "long grass")
    assert Attempt.objects.count() == 3  # those of this try: the others are gone


def test_somebody_let_back_in_comes_with_no_old_session(owner, mechanic):
    who, other = mechanic.person, owner.person
    assert mechanic.get("/people/mine/").status_code != 302
    change_person(who, other, role=Role.MECHANIC, active=False)
    change_person(who, other, role=Role.MECHANIC, active=True)
    answer = mechanic.get("/today/")
    assert answer.status_code == 302  # to the login
    assert "/login/" in answer["Location"]
    assert not any(one.get_decoded().get("_auth_user_id") == str(who.pk) for one in Session.objects.all())
    assert owner.get("/today/").status_code == 200  # nobody else's


def test_a_stranger_who_asks_how_it_goes_hears_ok_and_nothing_else(stranger):
    answer = stranger.get("/health/")
    assert (answer.status_code, answer.content) == (200, b"ok")
    assert stranger.post("/health/").status_code in (403, 405)


@pytest.mark.django_db
def test_a_form_of_ten_thousand_boxes_is_answered_in_words():
    local = Client(HTTP_HOST="localhost:8077", raise_request_exception=False)
    answer = local.post("/login/", {f"box{n}": "1" for n in range(10_000)})
    assert answer.status_code == 400
    assert b"Nothing was changed" in answer.content
