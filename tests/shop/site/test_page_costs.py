"""What a page costs in queries and bytes, whatever the size of the shop and the speed of the machine."""

import gzip
import re
from pathlib import Path

import pytest
from django.contrib.staticfiles import finders
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from snath.shop.records import store
from snath.shop.records.jobs import JobRecord
from snath.shop.records.machines import Customer, MachineRecord
from snath.shop.records.people import AuditEntry, Person
from snath.shop.records.shop import InstrumentRecord, StockPart
from snath.shop.site.ready_pages import forget
from tests.shop.demo_shop import demo_shop
from tests.shop.records.shop_of_our_own import customer, machine
from tests.shop.site.addresses import address, names

pytestmark = pytest.mark.django_db

# Highest number of queries a page may take; whoever needs more says why here.
MOST_QUERIES = 8
MORE = {"bench:machine": 10, "bench:jobs": 9}
FIRST_PAGE_BYTES = 60_000
NO_PAGES = {
    "bench:job-pdf",
    "bench:version-pdf",
    "bench:chart",
    "trust-certificate",
    "attachment",
    "jobs-table",
}


@pytest.fixture
def local() -> Client:
    return Client(HTTP_HOST="localhost")


def filled() -> dict[str, str]:
    """Every page that shows something of the invented shop."""
    demo_shop()
    job = JobRecord.objects.filter(version__gt=0, machine__isnull=False).order_by("number").first()
    tach = InstrumentRecord.objects.order_by("code").first()
    behind = {"bench:part": StockPart.objects.first().pk, "bench:customer": Customer.objects.first().pk}
    return {
        name: address(name, key=behind.get(name, job.machine.pk), number=job.number, code=tach.code)
        for name in names()
        if name not in NO_PAGES
    }


def queries(browser: Client, path: str) -> int | None:
    forget()
    with CaptureQueriesContext(connection) as taken:
        answer = browser.get(path)
    return len(taken) if answer.status_code == 200 else None


def grow() -> None:
    """Twenty more of everything a page may list."""
    who = Person.objects.local_owner()
    template = JobRecord.objects.filter(version__gt=0, machine__isnull=False).order_by("number").first()
    newest = template.versions.order_by("-version").first()
    for number in range(20):
        owner = customer(name=f"Orchard {number}")
        mower = machine(owner, serial=f"GR-{number}", sheet=template.machine.sheet)
        for whose in (mower, template.machine):
            job = store.open_job(who, machine=whose)
            store.save_version(job, newest.job_json, newest.result_json, 0, who, waits_for="reading")
        machine(Customer.objects.exclude(pk=owner.pk).first(), serial=f"MORE-{number}")
        InstrumentRecord.objects.create(code=f"more-{number}", name=f"tach {number}")
        StockPart.objects.create(kind="blade", name=f"blade {number}")
    assert AuditEntry.objects.count() > 40


def test_no_page_takes_more_than_a_few_queries_and_none_takes_more_in_a_larger_shop(local):
    pages = filled()
    small = {name: queries(local, path) for name, path in pages.items()}
    assert sum(count is not None for count in small.values()) > 25
    grow()
    large = {name: queries(local, path) for name, path in pages.items()}
    grown = {name: (small[name], count) for name, count in large.items() if (count or 0) > (small[name] or 0)}
    many = {name: count for name, count in large.items() if (count or 0) > MORE.get(name, MOST_QUERIES)}
    assert grown == {}
    assert many == {}


def test_the_first_page_comes_in_under_60_kb_with_all_it_needs(local):
    demo_shop()
    for path in ("/", "/today/", "/login/"):
        page = local.get(path).content
        linked = re.findall(rb'(?:src|href)="/static/([^"]+)"', page)
        assert linked
        files = [Path(finders.find(name.decode()) or "") for name in linked]
        total = len(gzip.compress(page)) + sum(len(gzip.compress(file.read_bytes())) for file in files)
        assert total < FIRST_PAGE_BYTES, f"{path}: {total} bytes"


def test_a_large_shop_shows_no_endless_page(local):
    demo_shop()
    grow()
    for path in ("/today/", "/jobs/", "/shelf/machines/", "/shelf/customers/", "/people/log/"):
        assert len(gzip.compress(local.get(path).content)) < 40_000, path
    assert MachineRecord.objects.count() > 40
