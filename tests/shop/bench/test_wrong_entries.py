"""A wrong entry into any box of figures, in both languages: what was given and what would do is said at the box."""

import html
import re

import pytest
from django.test import Client

from snath.decisions.machine.sheet import read_sheet
from snath.shop.records.models import JobRecord, MachineRecord
from tests.shop.demo_shop import demo_shop

pytestmark = pytest.mark.django_db

STATE = {"stage": "as found", "warm": "on", "choke_off": "on", "on_stop": "on", "condition": "blades in air"}
AT = {"base": "1", "shaft": "crankshaft"}
# Page, what else must be there for the box to be looked at, and its boxes of figures.
FORMS = (
    ("/jobs/new/machine/", {"drives": "0", "parts": "1", "p0_kind": "blade", "p0_measured": "corner to corner"},
     ("made", "rated_max", "rated_min", "idle", "droop", "cylinders", "strokes", "maker_speed", "maker_tolerance",
      "p0_length", "p0_speed_max")),
    ("/jobs/5/reading/", {**STATE, **AT, "instrument": "tach-1"}, ("speed_1", "speed_2", "hunting", "tach_accuracy")),
    ("/jobs/5/strobe/", {**STATE, **AT, "instrument": "other", "alike": "1"}, ("rates",)),
    ("/jobs/5/compare/", AT, ("speed_1", "speed_2", "begin", "end", "marks")),
    ("/jobs/5/listen/", {**STATE, **AT}, ("begin", "end", "marks")),
    ("/measure/", {}, ("begin", "end", "marks")),
    ("/jobs/4/running/governor/", AT,
     ("no_load", "loaded", "load", "wanted", "load_on", "marks", "poles", "frequency")),
    ("/jobs/3/running/setting/", AT, ("position_1", "speed_1", "idle_1")),
    ("/jobs/4/running/stop/", AT, ("release", "standstill", "maker_limit", "marks")),
    ("/jobs/4/running/throw/", AT, ("mass", "density", "wind")),
    ("/jobs/4/running/balance/", AT, ("blade", "speed", "missing", "missing_radius", "machine_mass")),
    ("/shelf/instruments/", {"kind": "optical"},
     ("accuracy", "digits", "resolution", "per_turn", "check_every_months")),
    ("/shelf/instruments/tach-1/check/", {"on": "2026-01-01", "reference": "x"}, ("read_1", "true_1")),
    ("/shelf/stock/new/belt/", {"belt": "A51", "section": "A"}, ("count", "price", "outside_length")),
    ("/teach/4/guess/", {}, ("ceiling", "reading")),
)  # fmt: skip
PEOPLE = ("/people/add/", "/people/phone/", "/people/keys/", "/people/me/", "/login/")
GETS = (
    ("/", {"blade": "22 in"}, ("blade", "width", "engine_pulley", "turns_in")),
    ("/shelf/chart/", {"smallest": "16 in", "largest": "30 in", "step": "1 in"},
     ("smallest", "largest", "step", "width")),
    ("/teach/class-sheet/", {"number": "3", "count": "3"}, ("number", "count")),
)  # fmt: skip
WRONG = {"en": ("abc", "-5", "1e999", "1.234.5,6"), "de": ("abc", "1.234.5,6")}
MINUS = ("wind",)  # boxes in which a minus is an answer: against the throw
WOULD_DO = {"en": re.compile(r"\b(must|such as)\b"), "de": re.compile(r"\b(muss|nötig|etwa)\b")}
FRAMEWORK = re.compile(
    r"This field is required|Ensure this value|Enter a|Select a valid|Bitte |Dieses Feld|Sicherstellen"
)


def bench(language: str) -> Client:
    demo_shop()
    return Client(headers={"host": "localhost", "accept-language": language})


def faults_at(page: str, box: str) -> str:
    found = re.search(rf'<div id="id_{box}_error">(.*?)</div>', page, re.DOTALL)
    return html.unescape(re.sub("<[^>]+>", " ", found.group(1))).strip() if found else ""


def wrong_with(page: str, box: str, given: str, language: str) -> list[str]:
    """What is not as it should be where `given` was typed into `box`."""
    said = faults_at(page, box)
    found = [] if said else ["no fault at the box"]
    if said and given not in said:
        found.append("does not repeat what was given")
    if said and not WOULD_DO[language].search(said):
        found.append("does not say what would do")
    if FRAMEWORK.search(said):
        found.append("is the framework's own sentence")
    if f'value="{html.escape(given)}"' not in page and f">\n{html.escape(given)}</textarea>" not in page:
        found.append("what was typed is lost")
    return [f"{one}: {said}" for one in found]


@pytest.mark.parametrize("language", ["en", "de"])
def test_a_wrong_figure_is_answered_at_its_box_with_what_was_given_and_what_would_do(language):
    shop, bad = bench(language), {}
    for sender, rows in ((shop.post, FORMS), (shop.get, GETS)):
        for path, beside, boxes in rows:
            for box in boxes:
                for given in (one for one in WRONG[language] if box not in MINUS or one[0] != "-"):
                    page = sender(path, {**beside, box: given}).content.decode()
                    if found := wrong_with(page, box, given, language):
                        bad[f"{path} {box} {given!r}"] = found
    assert bad == {}


@pytest.mark.parametrize("language", ["en", "de"])
def test_an_empty_form_says_of_each_box_what_would_do_in_our_own_words(language):
    shop = bench(language)
    for path in (*(path for path, _, _ in FORMS), *PEOPLE):
        page = shop.post(path, {"base": "1"}).content.decode()
        faults = re.findall(r'<p class="fault">(.*?)</p>', page, re.DOTALL)
        assert 'id="faults"' in page, path
        assert [one for one in faults if FRAMEWORK.search(html.unescape(one))] == [], path


def test_the_customer_that_was_typed_outlives_a_wrong_figure():
    shop = bench("en")
    whose = {"customer_name": "Meadow & Sons", "customer_phone": "555 0102"}
    boxes = {"drives": "0", "parts": "1", "p0_kind": "blade", "p0_length": "21 parsecs"}
    for path, sent in (("/jobs/new/machine/", boxes), ("/jobs/new/paste/", {"sheet": "name = 3"})):
        page = shop.post(path, {**whose, **sent}).content.decode()
        assert 'value="Meadow &amp; Sons"' in page, path
        assert 'value="555 0102"' in page, path


def test_a_machine_written_with_points_is_opened_by_somebody_who_writes_commas():
    shop = bench("de")
    page = html.unescape(shop.get("/jobs/4/machine/").content.decode())
    assert 'value="3.350 1/min ± 100 1/min"' in page  # the same figure, as a German reads it
    machine = MachineRecord.objects.get(serial="PR-42-0083")
    before = read_sheet(machine.sheet)
    opened = shop.post("/jobs/new/", {"machine": str(machine.pk)})
    assert opened.status_code == 302
    assert JobRecord.objects.order_by("-number")[0].machine == machine
    sent = dict(re.findall(r'<input type="(?:text|hidden)" name="([^"]+)" value="([^"]*)"', page))
    for name, options in re.findall(r'<select name="([^"]+)"(.*?)</select>', page, re.DOTALL):
        chosen = re.search(r'<option value="([^"]*)" selected', options) or re.search(
            r'value="([^"]*)"', options
        )
        sent[name] = chosen.group(1)
    sent |= {"base": "2"}
    saved = shop.post("/jobs/4/machine/", sent)
    assert saved.status_code == 302, re.findall(r'class="fault">(.*?)</p>', saved.content.decode())
    machine.refresh_from_db()
    assert read_sheet(machine.sheet) == before


def test_a_pasted_sheet_keeps_its_readers_decimal_mark():
    shop = bench("de")
    blade = (
        '[[member]]\nname = "Messer"\n[member.blade]\nlength = "533,4 mm"\nmeasured = "corner to corner"\n'
    )
    text = f'name = "Wiesenmäher"\nkind = "walk-behind rotary mower"\n[engine]\n{blade}'
    sent = shop.post("/jobs/new/paste/", {"sheet": text})
    assert sent.status_code == 302, faults_at(sent.content.decode(), "sheet")
    kept = MachineRecord.objects.get(name="Wiesenmäher")
    english = Client(headers={"host": "localhost"})
    assert english.post("/jobs/new/", {"machine": str(kept.pk)}).status_code == 302
    assert read_sheet(kept.sheet) == read_sheet(text, decimal_mark=",")


def test_a_box_that_is_needed_only_beside_another_says_so():
    shop = bench("en")
    boxes = {"name": "Hang", "drives": "0", "parts": "1", "p0_kind": "blade", "p0_length": "21 in"}
    page = shop.post("/jobs/new/machine/", {**boxes, "maker_speed": "3,100"}).content.decode()
    assert "must be given once the boxes beside it are filled in" in faults_at(page, "maker_source")


@pytest.mark.parametrize("kind", ["disc", "string_head", "wheel"])
def test_a_part_without_its_limit_is_sent_to_the_part_and_its_manual_not_to_boxes_beside_it(
    client: Client, kind
):
    sent = {
        "name": "m",
        "kind": "chipper",
        "drives": "0",
        "parts": "1",
        "p0_kind": kind,
        "p0_shaft": "crankshaft",
    }
    text = html.unescape(client.post("/jobs/new/machine/", sent).content.decode())
    assert "It is marked on the part or stands in its manual" in text
    assert "once the boxes beside it are filled in" not in text


def test_how_deep_a_belt_lies_without_saying_that_it_does_is_told_in_those_words(client: Client):
    drive = {"driven": "s", "driver": "crankshaft", "kind": "belt", "section": "B", "driver_outside": "5",
             "driven_outside": "5", "driver_rides": "not looked", "driver_by": ".1"}  # fmt: skip
    blade = {"kind": "blade", "measured": "corner to corner", "length": "21", "shaft": "s"}
    sent = {"name": "m", "kind": "ride-on rotary mower", "drives": "1", "parts": "1", "clutch": "by hand"}
    sent |= {f"d0_{key}": value for key, value in drive.items()} | {
        f"p0_{key}": value for key, value in blade.items()
    }
    text = html.unescape(client.post("/jobs/new/machine/", sent).content.decode())
    assert "say above whether the belt lies too deep or stands above the rim" in text
    assert "write its unit" not in text
