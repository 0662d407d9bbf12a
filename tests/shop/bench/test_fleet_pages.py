"""A fleet on the bench: taken in from a table, listed by due date, worked through when a rule moves."""

import csv
import re
from datetime import timedelta
from io import StringIO

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from snath.shop.bench.fleet.kept import asked_now, to_work, work_some
from snath.shop.records.due import read_again
from snath.shop.records.fleet import FleetEntry
from snath.shop.records.models import Customer, JobRecord, MachineRecord, ShopRule
from tests.shop.tables.test_workbook import book

pytestmark = pytest.mark.django_db

HEAD = (
    *("number", "machine", "serial", "kind", "clutch", "blade", "blade measured", "reading", "u", "read on"),
    "customer",
)
PUSH = "walk-behind rotary mower"


@pytest.fixture
def shop(db) -> Client:
    return Client(headers={"host": "localhost"})


def rows(*several):
    return "\n".join("\t".join(map(str, row)) for row in (HEAD, *several))


def taken(shop, *several, **more):
    return shop.post("/shelf/fleet/in/", {"table": rows(*several), "unit": "in", "do": "keep", **more})


def looked_at(shop, *several, **more):
    """The page that tells what would go, and what it sends along when somebody then says so."""
    page = taken(shop, *several, **{"do": "look", **more}).content.decode()
    seen = re.search(r'name="seen" value="([^"]*)"', page)
    return " ".join(page.split()), {"seen": seen.group(1) if seen else ""}


TWO = (
    (1, "Push", "A1", PUSH, "none", 22, "corner to corner", 3400, 5, "2020-01-31", "Depot"),
    (
        2,
        "Push",
        "A2",
        PUSH,
        "none",
        21,
        "corner to corner",
        3000,
        5,
        timezone.localdate().isoformat(),
        "Depot",
    ),
)


def worked_through(shop):
    """The page at the end: on a busy machine not all are worked in one step."""
    page = shop.post(reverse("bench:fleet-work"), {"do": "begin"}).content.decode()
    for _ in range(5):
        if "Go on" not in page:
            break
        page = shop.post(reverse("bench:fleet-work")).content.decode()
    return page


def test_a_table_is_looked_at_first_and_kept_when_asked(shop):
    page = shop.post("/shelf/fleet/in/", {"table": rows(*TWO), "unit": "in", "do": "look"})
    assert page.status_code == 200
    assert "2 machines can be taken in" in page.content.decode()
    assert not MachineRecord.objects.exists()
    assert taken(shop, *TWO).status_code == 302
    assert {one.serial for one in MachineRecord.objects.all()} == {"A1", "A2"}
    assert Customer.objects.get().name == "Depot"
    # By hand: a reading of 31 January 2020 is due a year on.
    assert FleetEntry.objects.get(number="1").due_on.isoformat() == "2021-01-31"


def test_a_spreadsheet_becomes_its_rows_and_faults_keep_their_cells(shop):
    from django.core.files.uploadedfile import SimpleUploadedFile

    content = book(HEAD, TWO[0], (), (3, "Push", "A3", "rocket", "none", 22, "", "", "", "", ""))
    sent = SimpleUploadedFile("fleet.xlsx", content)
    page = shop.post("/shelf/fleet/in/", {"file": sent, "unit": "in", "do": "look"}).content.decode()
    assert "1 machine can be taken in" in page
    assert re.search(r"Machines row 4, column D \(kind\)", page)
    text = re.search(r"<textarea[^>]*>\n?([^<]*)", page).group(1)
    again = shop.post("/shelf/fleet/in/", {"table": text, "unit": "in", "sheet": "Machines", "do": "keep"})
    assert again.status_code == 302
    assert MachineRecord.objects.get().serial == "A1"


@pytest.mark.parametrize(
    "sent", [{}, {"table": "x"}, {"table": "machine\n"}, {"table": "=1\t=2\nmachine\t3"}, {"table": "\x00"}]
)
def test_nonsense_is_answered_and_nothing_kept(shop, sent):
    page = shop.post("/shelf/fleet/in/", {"unit": "in", "do": "keep", **sent})
    assert page.status_code in (200, 422)
    assert not MachineRecord.objects.exists()


def test_a_file_that_would_unpack_to_a_flood_is_refused_at_its_box(shop, monkeypatch):
    from django.core.files.uploadedfile import SimpleUploadedFile

    monkeypatch.setattr("snath.shop.tables.workbook.MOST_UNPACKED", 10)
    sent = SimpleUploadedFile("fleet.xlsx", book(HEAD, TWO[0]))
    page = shop.post("/shelf/fleet/in/", {"file": sent, "unit": "in", "do": "look"})
    assert page.status_code == 422
    assert "unpacks to more than" in page.content.decode()


def test_the_list_goes_by_due_date_and_never_says_that_a_machine_passed(shop):
    never = (3, "Push", "A3", PUSH, "none", 22, "corner to corner", "", "", "", "")
    taken(shop, *TWO, never)
    assert "3 machines were not worked" in shop.get("/shelf/fleet/").content.decode()
    assert "3 machines are worked" in worked_through(shop)
    page = shop.get("/shelf/fleet/").content.decode()
    assert [page.index(f"{number} · Push") for number in (3, 1, 2)] == sorted(
        page.index(f"{number} · Push") for number in (3, 1, 2)
    )
    assert "over a limit by its last reading" in page
    assert "the machine was not checked for this list" in page
    assert not re.search(r">\s*pass(ed)?\s*<", page)
    only = {key: shop.get(f"/shelf/fleet/?which={key}").content.decode() for key in ("due", "over", "shut")}
    assert ["1 · Push" in only["due"], "2 · Push" in only["due"], "3 · Push" in only["due"]] == [
        True,
        False,
        True,
    ]
    assert "1 · Push" in only["over"]
    assert "2 · Push" not in only["over"]
    assert "No machine here." in only["shut"]


def test_a_new_rule_is_worked_through_all_and_told(shop):
    taken(shop, *TWO)
    worked_through(shop)
    text = (
        '[[rule]]\nid = "ours"\nlimits = "blade tip speed"\nkind = "surface speed"\nat_most = "80 m/s"\n'
        'scope = { members = ["blade"] }\nsource = "our own word"\n'
    )
    ShopRule.objects.create(rule_id="ours", text=text, in_force=True)
    assert to_work(asked_now()).count() == 2
    assert "2 moved" in worked_through(shop)
    assert "ceiling lower than before" in shop.get("/shelf/fleet/?which=moved").content.decode()
    text = b"".join(shop.get("/shelf/fleet/fleet.csv").streaming_content).decode()
    table = {row["number"]: row for row in csv.DictReader(StringIO(text))}
    # By hand: 19,000 ft/min, the row that held before, over pi times 22 in is 3,298.8 a minute; 80 m/s 2,734.3.
    assert (table["1"]["ceiling_before_rpm"], table["1"]["ceiling_rpm"]) == ("3298", "2734")
    assert table["1"]["moved"].startswith("lower")


SMALLER = (1, "Push", "A1b", PUSH, "none", 20, "corner to corner", "", "", "", "")


def test_the_same_machine_again_gets_its_new_sheet_once_it_was_told_what_goes(shop):
    taken(shop, *TWO)
    unseen = taken(shop, SMALLER)
    assert unseen.status_code == 200  # nobody had seen what goes: it is told first
    assert {one.serial for one in MachineRecord.objects.all()} == {"A1", "A2"}
    page, seen = looked_at(shop, SMALLER)
    assert "Serial number: was A1, is A1b" in page
    assert "Blade length: was 22 in, is 20 in" in page
    assert taken(shop, SMALLER, **seen).status_code == 302
    assert MachineRecord.objects.count() == 2
    record = MachineRecord.objects.get(fleet__number="1")
    assert (record.serial, record.earlier_serials) == ("A1b", "A1")  # found by its earlier number, too
    entry = record.fleet
    assert (entry.read_on.isoformat(), entry.due_on.isoformat()) == ("2020-01-31", "2021-01-31")
    assert '"3400 rpm"' in entry.reading  # a row that says nothing of a reading takes none away
    assert record.customer.name == "Depot"
    earlier = record.earlier_sheets.get()
    assert "22 in" in earlier.sheet
    assert (timezone.localdate(earlier.until), earlier.reading) == (timezone.localdate(), "")
    page = shop.get(f"/shelf/machines/{record.pk}/").content.decode()
    assert f"until {timezone.localdate().isoformat()}" in page
    assert "22 in" in page


def test_a_later_reading_of_a_table_keeps_the_one_before_and_meets_the_day_that_was_named(shop):
    named = (*TWO[0][:7], "", "", "", "")
    page, seen = looked_at(shop, named)
    taken(shop, named)
    FleetEntry.objects.update(due_said="2026-12-24", due_on="2026-12-24")
    page, seen = looked_at(shop, (*TWO[0][:5], 20, *TWO[0][6:7], "", "", "", ""))
    assert "2026-12-24" not in page  # a table without dates says nothing of the next one
    taken(shop, (*TWO[0][:5], 20, *TWO[0][6:7], "", "", "", ""), **seen)
    assert FleetEntry.objects.get().due_on.isoformat() == "2026-12-24"
    for day, due, earlier in (("2026-11-30", "2027-11-30", 0), ("2026-12-01", "2027-12-01", 1)):
        row = (*TWO[0][:5], 20, *TWO[0][6:9], day, "Depot")
        page, seen = looked_at(shop, row)
        taken(shop, row, **seen)
        entry = FleetEntry.objects.get()
        assert (entry.read_on.isoformat(), entry.due_on.isoformat()) == (day, due)
        assert entry.machine.earlier_sheets.exclude(reading="").count() == earlier
    assert entry.machine.earlier_sheets.exclude(reading="").get().read_on.isoformat() == "2026-11-30"


def test_the_same_table_again_leaves_everything_as_it_is(shop):
    taken(shop, *TWO)
    worked_through(shop)
    page, seen = looked_at(shop, *TWO)
    assert (seen["seen"], "2 on the shelf just so" in page) == ("", True)
    assert taken(shop, *TWO).status_code == 302
    assert to_work(asked_now()).count() == 0


def test_a_figure_written_otherwise_is_no_change_and_a_serial_number_is(shop):
    taken(shop, *TWO)
    page, _ = looked_at(
        shop, (*TWO[0][:2], "0A1", *TWO[0][3:5], "22.0", "corner to corner", "3,400", "5.0", *TWO[0][9:])
    )
    assert "Serial number: was A1, is 0A1" in page
    assert not re.search("(Blade length|Last reading|Uncertainty): was", page)
    page, _ = looked_at(shop, (*TWO[0][:7], "3,401", *TWO[0][8:]))
    assert "Last reading: was 3400 rpm, is 3,401 rpm" in page


def test_a_later_reading_stands_against_an_older_table(shop):
    taken(shop, *TWO)
    entry = FleetEntry.objects.get(number="1")
    job = JobRecord(machine=entry.machine, as_left_rev_s=50.0)
    today = timezone.localdate()
    read_again(job, f'{{"judged_on": "{today.isoformat()}"}}')
    stood = FleetEntry.objects.get(number="1").due_on
    page, seen = looked_at(shop, (*TWO[0][:5], 20, *TWO[0][6:]))
    assert f"The reading of {today.isoformat()} on the shelf is later" in page
    assert taken(shop, (*TWO[0][:5], 20, *TWO[0][6:]), **seen).status_code == 302
    entry = FleetEntry.objects.get(number="1")
    assert (entry.read_on, entry.due_on, entry.reading) == (today, stood, "")
    assert "20 in" in entry.machine.sheet


def test_two_rows_that_are_one_machine_of_the_shelf_are_told(shop):
    taken(shop, *TWO)
    twice = (SMALLER, ("", "Push", "A1", PUSH, "none", 19, "corner to corner", "", "", "", ""))
    page, seen = looked_at(shop, *twice)
    assert "is the same machine of the shelf as the table row 2" in page
    assert "1 is left out" in page
    assert taken(shop, *twice, **seen).status_code == 302
    assert MachineRecord.objects.count() == 2


def test_a_column_is_chosen_by_hand(shop):
    table = (
        "machine\tserial\tkind\tclutch\tspan\tblade measured\nPush\tA1\t"
        + PUSH
        + "\tnone\t22\tcorner to corner"
    )
    sent = {"table": table, "unit": "in", "mapped": "fleet:6", "do": "keep"}
    chosen = ("machine", "serial", "kind", "clutch", "blade", "blade_measured")
    assert (
        shop.post("/shelf/fleet/in/", sent | {f"m{at}": one for at, one in enumerate(chosen)}).status_code
        == 302
    )
    assert "22 in" in MachineRecord.objects.get().sheet


def test_a_job_that_was_read_moves_the_date_and_its_reading_is_the_last(shop):
    taken(shop, *TWO)
    machine = MachineRecord.objects.get(serial="A1")
    opened = shop.post("/jobs/new/", {"machine": machine.pk})
    assert opened.status_code == 302
    assert FleetEntry.objects.get(pk=machine.pk).due_on.isoformat() == "2021-01-31"  # nothing was read yet
    job = JobRecord.objects.get()
    job.as_left_rev_s = 50.0
    today = timezone.localdate()
    read_again(job, f'{{"judged_on": "{today.isoformat()}"}}')
    entry = FleetEntry.objects.get(pk=machine.pk)
    assert (entry.read_on, entry.reading) == (today, "")
    assert today + timedelta(days=360) < entry.due_on < today + timedelta(days=370)
    assert work_some(asked_now()) == 0


def test_the_table_runs_nothing(shop):
    taken(shop, (1, "+Push", "@A1", PUSH, "none", 22, "", "", "", "", "-x"))
    text = b"".join(shop.get("/shelf/fleet/fleet.csv").streaming_content).decode()
    assert "'+Push,'@A1" in text
    assert "'-x" in text
