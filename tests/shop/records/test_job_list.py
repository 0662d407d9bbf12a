"""The table of jobs runs nothing in a spreadsheet and reads back as it was."""

import csv
import io

import pytest

from snath.shop.records import store
from snath.shop.records.job_list import HEAD, csv_of_jobs
from snath.shop.tables.harmless import harmless
from tests.shop.records.shop_of_our_own import customer, machine, save

pytestmark = pytest.mark.django_db

FORMULAS = [
    "=1+1",
    "+1",
    "-1",
    "@SUM(A1)",
    "\t=1",
    "\r=1",
    "\n=1",
    " =1",
    "\ufeff=1",
    "\uff1d1",
    "=cmd|' /C calc'!A0",
    "%0A=1",
]


@pytest.mark.parametrize("formula", FORMULAS)
def test_no_cell_begins_like_a_formula(formula, mechanic):
    owner = customer(name=formula, phone="", email="")
    store.open_job(mechanic, machine=machine(owner, name=formula, serial=formula))
    rows = list(csv.reader(io.StringIO("".join(csv_of_jobs()), newline="")))
    assert rows[0] == list(HEAD)
    for cell in rows[1]:
        assert not cell.strip(" \t\r\n\ufeff").startswith(("=", "+", "@", "-", "\uff1d"))
    assert rows[1][3] == "'" + formula


@pytest.mark.parametrize("plain", ["", "21 in", "3300", "six o'clock", 'a "quoted" name', "a, b"])
def test_plain_cells_stay_as_they_are(plain):
    assert harmless(plain) == plain


def test_speeds_are_printed_in_whole_rpm_ceilings_rounded_down(mechanic):
    # By hand: 57.5 rev/s = 3450 rpm; the ceiling 57.6 rev/s = 3456 rpm; target 55 rev/s = 3300 rpm.
    job = store.open_job(mechanic, machine=machine(customer()))
    save(job, mechanic)
    row = dict(zip(HEAD, list(csv.reader(csv_of_jobs()))[1], strict=True))
    assert (row["as found rpm"], row["ceiling rpm"], row["target rpm"]) == ("3450", "3456", "3300")
    assert (row["as left rpm"], row["verdict"], row["versions"]) == ("", "pass", "1")


def test_a_long_list_is_read_in_few_queries(mechanic, django_assert_num_queries):
    for _ in range(40):
        store.open_job(mechanic)
    with django_assert_num_queries(2):
        assert len(list(csv_of_jobs())) == 41
