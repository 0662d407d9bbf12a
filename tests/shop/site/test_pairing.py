"""A phone comes in by a code: once, for minutes, and until it is sent away."""

import re
from datetime import timedelta

import pytest
from django.contrib.sessions.models import Session
from django.utils import timezone

from snath.shop.records import pairing
from snath.shop.records.pairing import accept, invite
from snath.shop.records.people import Kind, Pairing, Person, Role
from tests.shop.site.conftest import Browser


@pytest.fixture
def token(owner) -> str:
    return invite("phone at the lift", Role.MECHANIC, owner.person)


def test_a_token_has_128_bits_and_only_its_hash_is_kept(token):
    assert pairing.TOKEN_BYTES * 8 == 128
    assert re.fullmatch(r"[\w-]{22}", token)  # 16 bytes as base 64 without padding: 22 characters
    kept = Pairing.objects.get()
    assert token not in str(vars(kept))
    assert len(kept.token_hash) == 64


def test_a_phone_comes_in_with_the_role_the_owner_chose_and_stays_30_days(stranger, token):
    assert stranger.post("/pair/", {"token": token}).status_code == 302
    phone = Person.objects.get(kind=Kind.PHONE)
    assert (phone.name, phone.role) == ("phone at the lift", Role.MECHANIC)
    assert stranger.get("/people/me/").status_code == 200
    assert stranger.get("/people/").status_code == 403
    ends = Session.objects.get(session_key=stranger.cookies["snath_session"].value).expire_date
    assert timedelta(days=29) < ends - timezone.now() < timedelta(days=31)


def test_a_token_works_once(stranger, token):
    stranger.post("/pair/", {"token": token})
    second = Browser().post("/pair/", {"token": token})
    assert second.status_code == 403
    assert Person.objects.filter(kind=Kind.PHONE).count() == 1


def test_a_token_works_for_five_minutes(token):
    Pairing.objects.update(expires_at=timezone.now() - timedelta(seconds=1))
    assert accept(token) is None
    assert timedelta(minutes=5) == pairing.VALID


def test_an_invitation_made_while_the_clock_was_ahead_is_not_open_until_then(token):
    Pairing.objects.update(expires_at=timezone.now() + timedelta(days=400))
    assert accept(token) is None


@pytest.mark.parametrize("wrong", ["", "x", "A" * 22, "é" * 10_000, "' OR 1=1", "\x00"])
def test_a_wrong_token_lets_nobody_in(stranger, token, wrong):
    assert stranger.post("/pair/", {"token": wrong}).status_code == 403
    assert not Person.objects.filter(kind=Kind.PHONE).exists()


def test_guessing_tokens_is_slowed_down(stranger, token):
    for _ in range(5):
        stranger.post("/pair/", {"token": "A" * 22})
    assert stranger.post("/pair/", {"token": token}).status_code == 403
    assert not Person.objects.filter(kind=Kind.PHONE).exists()


def test_the_token_stands_behind_the_hash_sign_and_in_no_address_a_server_sees(owner):
    page = owner.post("/people/phone/", {"name": "phone 2", "role": "read-only"})
    assert b"<svg" in page.content
    assert page["Cache-Control"] == "no-store"
    assert Pairing.objects.get().role == Role.READER
    assert Browser().get("/pair/?token=abc").status_code == 200
    assert not Person.objects.filter(kind=Kind.PHONE).exists()


def test_the_code_says_what_the_phone_must_open(owner, monkeypatch):
    drawn = []
    monkeypatch.setattr("segno.make", lambda text, **how: drawn.append(text) or _Drawn())
    owner.post("/people/phone/", {"name": "phone 2", "role": "mechanic"})
    assert re.fullmatch(r"https://shop\.local/pair/#[\w-]{22}", drawn[0])


class _Drawn:
    def svg_inline(self, **how) -> str:
        return "<svg></svg>"


def test_a_phone_sent_away_is_out_at_once_and_for_good(stranger, owner, token):
    stranger.post("/pair/", {"token": token})
    phone = Person.objects.get(kind=Kind.PHONE)
    assert phone.name.encode() in owner.get("/people/").content
    owner.post(f"/people/{phone.pk}/", {"role": "mechanic", "away": "1"})
    assert stranger.get("/people/me/").status_code == 302
    phone.refresh_from_db()
    phone.is_active = True
    phone.save()
    assert stranger.get("/people/me/").status_code == 302  # its session does not come back to life


def test_two_phones_cannot_have_one_name(owner, token):
    accept(token)
    page = owner.post("/people/phone/", {"name": "phone at the lift", "role": "mechanic"})
    assert b"must differ" in page.content
