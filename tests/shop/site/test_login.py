"""Coming in with a name and a password, and what happens to those who guess."""

from datetime import timedelta

import pytest
from django.contrib.auth.hashers import Argon2PasswordHasher
from django.contrib.sessions.models import Session
from django.utils import timezone

from snath.shop.records.people import Attempt, AuditEntry, Person, Role
from snath.shop.records.staff import add_person, change_person, set_password
from tests.shop.site.conftest import Browser

PASSWORD = "long grass, dull blade"


@pytest.fixture(autouse=True)
def quick_hash(monkeypatch):
    """Argon2 as ever, but with little memory: these tests hash often."""
    monkeypatch.setattr(Argon2PasswordHasher, "memory_cost", 64)
    monkeypatch.setattr(Argon2PasswordHasher, "time_cost", 1)


@pytest.fixture
def somebody(db) -> Person:
    return add_person("second bench", Role.MECHANIC, PASSWORD)


def login(browser, name="second bench", password=PASSWORD, **more):
    return browser.post("/login/", {"name": name, "password": password, **more})


def test_passwords_are_kept_as_argon2(somebody):
    assert somebody.password.startswith("argon2$argon2id$")


def test_a_good_password_opens_a_session_that_ends_within_a_day(stranger, somebody):
    assert login(stranger).status_code == 302
    assert stranger.get("/people/me/").status_code == 200
    ends = Session.objects.get().expire_date
    assert timezone.now() + timedelta(hours=11) < ends < timezone.now() + timedelta(hours=13)
    Session.objects.update(expire_date=timezone.now() - timedelta(seconds=1))
    assert stranger.get("/people/me/").status_code == 302


def test_a_wrong_name_and_a_wrong_password_are_told_apart_by_nobody(stranger, somebody):
    wrong, unknown = login(stranger, password="x" * 12), login(stranger, name="Nobody")
    assert wrong.status_code == unknown.status_code == 200
    assert b"Name or password is wrong" in wrong.content
    assert wrong.content.replace(b"second bench", b"").split(b"</form>")[0].count(
        b"wrong"
    ) == unknown.content.replace(b"Nobody", b"").split(b"</form>")[0].count(b"wrong")


def test_after_five_wrong_passwords_even_the_right_one_waits_a_quarter_of_an_hour(stranger, somebody):
    for _ in range(5):
        login(stranger, password="wrong password")
    assert login(stranger).status_code == 429
    assert login(stranger, name="SECOND Bench").status_code == 429
    assert (
        login(Browser(REMOTE_ADDR="192.168.1.50")).status_code == 302
    )  # from elsewhere the owner still gets in
    Attempt.objects.update(at=timezone.now() - timedelta(minutes=15, seconds=1))
    assert login(stranger).status_code == 302


def test_one_address_cannot_try_many_names(stranger, somebody):
    for number in range(20):
        login(stranger, name=f"name {number}")
    assert login(stranger).status_code == 429


def test_many_addresses_cannot_try_one_name_for_ever(stranger, somebody):
    for number in range(50):
        login(Browser(REMOTE_ADDR=f"10.0.0.{number}"), password="wrong password")
    assert login(Browser(REMOTE_ADDR="10.0.1.1")).status_code == 429


def test_failed_logins_are_kept_without_names_or_addresses(stranger, somebody):
    login(stranger, name="mistyped-password-as-name")
    kept = " ".join(Attempt.objects.values_list("key", flat=True))
    assert "mistyped" not in kept
    assert "127.0.0.1" not in kept


def test_somebody_sent_away_is_out_at_once_and_cannot_come_back(stranger, owner, somebody):
    login(stranger)
    change_person(somebody, owner.person, role=Role.MECHANIC, active=False)
    assert stranger.get("/people/me/").status_code == 302
    assert login(stranger).status_code == 200


def test_a_new_password_ends_sessions_opened_with_the_old_one(stranger, owner, somebody):
    login(stranger)
    set_password(somebody, "another long one", owner.person)
    assert stranger.get("/people/me/").status_code == 302


def test_somebody_can_change_their_own_password_and_stays_in(stranger, somebody):
    login(stranger)
    new = {"password": "another long one", "again": "another long one"}
    assert b"not the password" in stranger.post("/people/me/", {"now": "guess guess", **new}).content
    assert b"Changed" in stranger.post("/people/me/", {"now": PASSWORD, **new}).content
    assert stranger.get("/people/me/").status_code == 200
    somebody.refresh_from_db()
    assert somebody.check_password("another long one")


@pytest.mark.parametrize(
    ("password", "again", "fault"),
    [
        ("short", "short", b"too short"),
        ("password12", "password12", b"too common"),
        ("long grass, dull", "long grass, sharp", b"differ"),
    ],
)
def test_weak_and_mistyped_passwords_are_refused_at_their_field(owner, password, again, fault):
    entered = {"name": "New", "role": "mechanic", "password": password, "again": again}
    answer = owner.post("/people/add/", entered)
    assert answer.status_code == 200
    assert fault in answer.content
    assert not Person.objects.filter(name="New").exists()


def test_the_last_owner_can_neither_leave_nor_be_sent_away(owner):
    page = f"/people/{owner.person.pk}/"
    for change in ({"role": "mechanic"}, {"role": "owner", "away": "1"}):
        assert b"last owner" in owner.post(page, change).content
    owner.person.refresh_from_db()
    assert owner.person.owns
    assert owner.person.is_active


@pytest.mark.parametrize(
    "where",
    [
        "//evil.example",
        "https://evil.example/x",
        "javascript:alert(1)",
        "/\\evil.example",
        "\t//evil.example",
    ],
)
def test_a_login_leads_to_our_own_pages_only(stranger, somebody, where):
    assert login(stranger, next=where)["Location"] == "/"
    assert b"evil.example" not in Browser().get("/login/", {"next": where}).content


def test_a_login_leads_to_the_page_that_asked_for_it(stranger, somebody):
    asked = stranger.get("/people/me/")
    assert asked["Location"] == "/login/?next=/people/me/"
    assert login(stranger, next="/people/me/")["Location"] == "/people/me/"


def test_a_session_gets_a_new_key_when_somebody_logs_in(stranger, somebody):
    stranger.cookies["snath_session"] = "fixed-by-somebody-else-0000000000"
    login(stranger)
    assert stranger.cookies["snath_session"].value != "fixed-by-somebody-else-0000000000"


def test_logging_out_ends_the_session_and_only_by_post(stranger, somebody):
    login(stranger)
    assert stranger.get("/logout/").status_code == 405
    stranger.post("/logout/")
    assert Session.objects.count() == 0
    assert list(AuditEntry.objects.values_list("did", flat=True))[-2:] == ["logged in", "logged out"]
