"""Two thousand hostile entries into every form: refused or taken as text, never a broken page, nothing lost."""

import random
import re
from html.parser import HTMLParser

import pytest

from snath.shop.records.chain import verify_chain
from snath.shop.records.jobs import JobRecord, JobVersion
from snath.shop.records.machines import Customer
from snath.shop.records.shop import InstrumentRecord, StockPart
from tests.shop.demo_shop import demo_shop
from tests.shop.site.addresses import address, names

SEED, ENTRIES = 2026, 2000
LEFT_ALONE = {
    "login",
    "logout",
    "pair",
    "everything",
    "customer-erase",
    "bench:piece",
}  # tried by tests of their own

HOSTILE = [
    "", " ", "\x00", "a\x00b", "\u202e21 in", "\ufeff", "\U0001f4a9" * 50, "é" * 10_000, "9" * 10_000, "-" * 5000,
    "<script>alert(1)</script>", "\"><img src=x onerror=alert(1)>", "javascript:alert(1)", "{{7*7}}", "{% debug %}",
    "${7*7}", "' OR '1'='1", "'; DROP TABLE records_jobversion; --", "\\", "../../../../etc/passwd", "C:\\con",
    "nan", "inf", "-inf", "1e999", "-1", "0", "9**9**9 mm", "0x10", "1_000", "21 3/0 in", "1/1e-9", "½½", "٣٫٥",
    "21 in\n21 in", "\r\nSet-Cookie: x=1", "%00", "%s%s%s%n", "[]", "{}", "null", "true", "[[rule]]\nid = 1",
    "'''", '"""', "\ud7ff", "=cmd|' /C calc'!A0", "2026-13-45", "0000-00-00", "9999-12-31", "1 200,5", "3,5 in",
    "11111111-1111-4111-8111-111111111111", "crankshaft", "99999999999999999999", "a" * 129, "on", "0.0000000001 mm",
    "5000000 rpm", "-3300 rpm", "3300 rpm ± -1", "3300 rpm ± 1e400", "⅐ in", "３３００ rpm", "21\u00a03/4\u2009in",
]  # fmt: skip


class Boxes(HTMLParser):
    """Names of what a page lets somebody fill in."""

    def __init__(self) -> None:
        super().__init__()
        self.found: set[str] = set()

    def handle_starttag(self, tag: str, attrs) -> None:
        named = dict(attrs).get("name")
        if tag in ("input", "select", "textarea", "button") and named:
            self.found.add(named)


def boxes_of(page: str) -> list[str]:
    boxes = Boxes()
    boxes.feed(page)
    return sorted(boxes.found - {"csrfmiddlewaretoken"})


def body_of(answer) -> str:
    return b"".join(answer).decode("utf-8", "replace")


@pytest.fixture
def places(owner) -> list[str]:
    """Every address with something of the invented shop behind it."""
    demo_shop()
    job = JobRecord.objects.filter(version__gt=0, machine__isnull=False).order_by("number").first()
    tach = InstrumentRecord.objects.order_by("code").first()
    behind = {
        "bench:part": StockPart.objects.first().pk,
        "bench:customer": Customer.objects.first().pk,
        "person": owner.person.pk,
        "person-password": owner.person.pk,
    }
    return [
        address(name, key=behind.get(name, job.machine.pk), number=job.number, code=tach.code)
        for name in names()
        if name not in LEFT_ALONE
    ]


def test_two_thousand_hostile_entries_break_no_page_and_lose_nothing(owner, places):
    chance = random.Random(SEED)
    kept = list(JobVersion.objects.values_list("sequence", "hash"))
    pages = {place: owner.get(place) for place in places}
    assert {page.status_code for page in pages.values()} <= {200, 302, 404, 405}
    boxes = {place: boxes_of(body_of(page)) for place, page in pages.items()}
    boxes = {place: named for place, named in boxes.items() if named}
    assert {"reading", "machine", "what-if", "shop", "check"} <= {place.split("/")[-2] for place in boxes}
    shown = sorted(boxes)
    weights = [0.1 if place.startswith("/jobs/") else 1.0 for place in shown]  # those work a whole job out
    broken = []
    tried = 0
    while tried < ENTRIES:
        place = chance.choices(shown, weights)[0]
        entered = {box: chance.choice(HOSTILE) for box in boxes[place] if chance.random() < 0.8}
        tried += len(entered)
        method = owner.get if chance.random() < 0.25 else owner.post
        answer = method(place, entered)
        said = body_of(answer)
        if answer.status_code >= 500 or re.search(r"<script>alert|<img src=x", said):
            broken.append((place, answer.status_code, entered))
        if "\r" in str(answer.headers.get("Location", "")):
            broken.append((place, "header", entered))
    assert broken == []
    assert list(JobVersion.objects.filter(sequence__lte=len(kept)).values_list("sequence", "hash")) == kept
    assert verify_chain() == ()
