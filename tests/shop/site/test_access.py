"""A stranger, a reader, a mechanic and the owner each try every address with every method."""

import itertools
import tomllib
from pathlib import Path

import pytest
from django.test import Client

from snath.shop.records import store
from snath.shop.records.jobs import JobRecord, JobVersion
from snath.shop.records.machines import Customer, MachineRecord
from snath.shop.records.people import Person
from tests.shop.records.shop_of_our_own import customer, machine
from tests.shop.site.addresses import address, names

TABLE = tomllib.loads((Path(__file__).parent / "access.toml").read_text())
LEVELS = ("anyone", "reader", "mechanic", "owner")
WHO = ("stranger", "reader", "mechanic", "owner")


def test_every_address_has_a_row_and_every_row_an_address():
    assert names() == sorted(TABLE)


def refused(answer) -> bool:
    """Whether somebody was turned away: 403, or sent to log in."""
    return answer.status_code == 403 or (
        answer.status_code == 302 and answer["Location"].startswith("/login/?next=")
    )


def attempts(browser: Client, name: str, rank: int):
    """Every method at one address, with whether the table allows it, and what happened."""
    place = address(name)
    for method, right in (("get", "reads"), ("head", "reads"), ("post", "changes")):
        answer = getattr(browser, method)(place)
        b"".join(answer)  # to its end, where a file closes itself
        # A wrong pairing code is answered 403 too, hence that page is told apart by its words.
        turned_away = refused(answer) and b"code was used" not in getattr(answer, "content", b"")
        yield method, rank >= LEVELS.index(TABLE[name][right]), turned_away, answer.status_code
    if name in ("login", "logout") and hasattr(browser, "person"):
        browser.force_login(browser.person)


@pytest.mark.parametrize("who", WHO)
def test_who_may_do_what(who, request):
    browser: Client = request.getfixturevalue(who)
    wrong = [
        f"{method} {name}: {'turned away' if turned_away else 'let in'} ({status})"
        for name in sorted(TABLE)
        for method, allowed, turned_away, status in attempts(browser, name, WHO.index(who))
        if turned_away is allowed or status == 500
    ]
    assert wrong == []


@pytest.mark.parametrize("method", ["put", "patch", "delete", "options", "trace"])
def test_methods_no_page_uses_are_refused_everywhere_even_to_the_owner(owner, method):
    answers = {name: getattr(owner, method)(address(name)).status_code for name in sorted(TABLE)}
    assert set(answers.values()) == {405}, answers


READERS_MAY_WRITE_NOTHING = (Customer, MachineRecord, JobRecord, JobVersion, Person)


def test_a_reader_changes_no_row_anywhere(reader):
    who = Person.objects.local_owner()
    job = store.open_job(who, machine=machine(customer()))
    before = [list(model.objects.order_by("pk").values()) for model in READERS_MAY_WRITE_NOTHING]
    known = [
        {"number": job.number, "key": job.machine.pk},
        {"key": job.customer.pk},
        {"key": reader.person.pk},
    ]
    entered = {"name": "x", "role": "owner", "blade": "21 in", "back": "/"}
    for name, values in itertools.product(sorted(TABLE), known):
        if name != "logout":
            b"".join(reader.get(address(name, **values), entered))
            b"".join(reader.post(address(name, **values), entered))
    after = [list(model.objects.order_by("pk").values()) for model in READERS_MAY_WRITE_NOTHING]
    for rows in (before, after):
        for row in rows[-1]:
            row.pop("last_login")
    assert after == before


def test_a_stranger_learns_nothing_from_a_forged_tag(stranger, reader):
    job = store.open_job(Person.objects.local_owner(), machine=machine(customer()))
    real, forged = address("bench:tag", record=job.pk), address("bench:tag")
    answers = [stranger.get(place) for place in (real, forged)]
    assert [answer.status_code for answer in answers] == [302, 302]
    assert answers[0]["Location"] == f"/login/?next={real}"
    assert answers[1]["Location"] == f"/login/?next={forged}"
    assert reader.get(forged).status_code == 404
    assert reader.get(real).status_code == 302
    for trick in ("../people/", "1", "%2e%2e/people", str(job.pk) + "x", str(job.number)):
        assert stranger.get(f"/tag/{trick}/").status_code in (302, 404)
        assert reader.get(f"/tag/{trick}/").status_code == 404


def test_without_a_login_only_these_pages_open(stranger):
    open_ones = {name for name in names() if stranger.get(address(name)).status_code == 200}
    # nobody's own: what a phone keeps to answer where the bench does not, without a word of any job or customer
    alone = {"bench:yard", "bench:yard-unsent", "bench:worker", "bench:manifest"}
    assert (
        open_ones
        == {
            "login",
            "pair",
            "trust",
            "health",
            "bench:ask",
            "bench:help",
            "bench:help-page",
            "bench:preferences",
        }
        | alone
    )
