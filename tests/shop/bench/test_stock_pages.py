"""The shelf's parts one by one and pasted: sizes as typed are kept, wrong ones refused where they stand."""

import io
import re

import pytest
from django.test import Client
from PIL import Image

from snath.decisions.drive.belt import belt_by_name
from snath.decisions.drive.needs import belts_beside
from snath.shop.bench.drive.stock_rows import next_number, shelf
from snath.shop.records.models import StockPart

pytestmark = pytest.mark.django_db

PULLEY = {
    "number": "203",
    "section": "A",
    "outside": "4 3/4",
    "bore": "1 in key",
    "count": "2",
    "price": "12.50",
    "place": "wall 3",
    "part": "DK-1",
}


@pytest.fixture
def shop(db) -> Client:
    return Client(headers={"host": "localhost"})


def added(shop: Client, kind: str = "pulley", **boxes):
    return shop.post(f"/shelf/stock/new/{kind}/", {**(PULLEY if kind == "pulley" else {}), **boxes})


def faults(reply) -> list[str]:
    return re.findall(r'class="fault">([^<]*)', reply.content.decode())


def test_a_pulley_is_kept_as_it_was_typed_and_can_be_part_of_a_drive(shop: Client):
    assert added(shop).status_code == 302
    (sheave,) = shelf().stock.sheaves
    assert (sheave.number, sheave.count, sheave.bore, sheave.price) == ("203", 2, "25.40 mm key", 12.5)
    assert sheave.outside == pytest.approx(4.75 * 0.0254)  # by hand
    record = StockPart.objects.get()
    page = shop.get(f"/shelf/stock/{record.pk}/").content.decode()
    assert 'value="4 3/4 in"' in page
    assert "4 3/4 in" in shop.get("/shelf/stock/").content.decode()
    assert "120.6" not in shop.get("/shelf/stock/").content.decode()


def test_a_change_keeps_one_part_and_another_reader_finds_it_in_their_mark(shop: Client):
    added(shop, outside="4.75 in")
    record = StockPart.objects.get()
    shop.post(f"/shelf/stock/{record.pk}/", {**PULLEY, "number": "300", "outside": "5"})
    assert StockPart.objects.count() == 1
    assert shelf().stock.sheaves[0].number == "300"
    added(shop, number="4", outside="4.75 in")
    shop.cookies["snath_mark"] = ","
    other = next(part for part in StockPart.objects.all() if part.name.startswith("4 "))
    assert 'value="4,75 in"' in shop.get(f"/shelf/stock/{other.pk}/").content.decode()


def test_pieces_are_counted_down_to_none_and_no_further(shop: Client):
    added(shop)
    record = StockPart.objects.get()
    for left in (1, 0, 0):
        shop.post(f"/shelf/stock/{record.pk}/count/", {"do": "used"})
        record.refresh_from_db()
        assert record.count == left
    assert shelf().stock.sheaves == ()  # what is used up is offered in no drive
    page = shop.get(f"/shelf/stock/{record.pk}/").content.decode()
    assert re.search(r'name="count" value="0"', page)
    assert shop.post(f"/shelf/stock/{record.pk}/", {**PULLEY, "count": "0"}).status_code == 302
    shop.post(f"/shelf/stock/{record.pk}/count/", {"do": "back"})
    assert shelf().stock.sheaves[0].count == 1


@pytest.mark.parametrize(
    ("boxes", "words"),
    [
        ({"outside": "five"}, "five"),
        ({"outside": ""}, "datum"),
        ({"section": ""}, "must be given"),
        ({"bore": "round and round"}, "round and round"),
        ({"price": "a lot"}, "a lot"),
        ({"count": "-1"}, "-1"),
        ({"outside": "0.1"}, "0.00254 m"),
    ],
)
def test_a_wrong_box_is_refused_there_and_nothing_is_kept(shop: Client, boxes, words):
    reply = added(shop, **boxes)
    assert reply.status_code == 422
    assert any(words in fault for fault in faults(reply)), faults(reply)
    assert StockPart.objects.count() == 0


def test_a_part_without_a_number_gets_the_next_free_one(shop: Client):
    added(shop)
    added(shop, number="")
    assert next_number() == "205"
    assert {sheave.number for sheave in shelf().stock.sheaves} == {"203", "204"}


def test_a_belt_by_its_print_and_one_of_a_maker_s_own(shop: Client):
    assert added(shop, "belt", number="B1", belt="A51", count="3").status_code == 302
    own = added(shop, "belt", number="B2", belt="DK-9", section="A", outside_length="52 1/2", tolerance="1/4")
    assert own.status_code == 302, faults(own)
    first, second = shelf().stock.belts
    assert first.belt.length == pytest.approx(52.3 * 0.0254)  # A51: 51 + 1.3 in, Machinery's Handbook table 8
    assert (second.belt.length, second.belt.tolerance) == pytest.approx((52.5 * 0.0254, 0.25 * 0.0254))


def test_the_next_sizes_sold_are_offered(shop: Client):
    # common practice, no source: quarters of an inch to 6 in, belts by the inch
    added(shop)
    page = shop.get(f"/shelf/stock/{StockPart.objects.get().pk}/").content.decode()
    assert "Add A 4 1/2 in" in page
    assert "Add A 5 in" in page
    assert belts_beside(belt_by_name("A51")) == ("A50", "A52")


def test_a_blade_needs_no_number_and_a_photo_is_kept_with_it(shop: Client):
    picture = io.BytesIO()
    Image.new("RGB", (40, 30), "red").save(picture, "JPEG")
    picture.seek(0)
    picture.name = "blade.jpg"
    reply = added(shop, "blade", name="Blade, high lift", size="21 3/4 in", count="2", photo=picture)
    assert reply.status_code == 302
    page = shop.get("/shelf/stock/").content.decode()
    assert "21 3/4 in" in page
    photo = re.search(r'class="photo" href="([^"]*)"', page).group(1)
    assert b"".join(shop.get(photo).streaming_content)[:2] == b"\xff\xd8"
    assert added(shop, "blade").status_code == 422


TABLES = {
    "tabs, bare inches": ("SKU\tType\tOD\tBore\tQty\tEach\n7\tA\t4 3/4\t1 in key\t2\t$12.50\n", "in", "", 12.5),
    "semicolons, decimal commas": (
        "Nr;Profil;Durchmesser;Welle;Menge;Preis\n7;A;120,65;1 in Passfeder;2;12,50 €\n", "mm", "", 12.5
    ),
    "commas, units typed": ("number,section,outside,bore,count,price\n7,A,4.75 in,1 in key,2,12.5\n", "mm", "", 12.5),
    "no headings": ("7\tA\t4 3/4 in\t1 in key\t2\t12.50\n", "in", "", 12.5),
}  # fmt: skip


@pytest.mark.parametrize("name", TABLES)
def test_a_spreadsheet_is_looked_at_first_and_kept_when_asked(shop: Client, name):
    text, unit, mark, price = TABLES[name]
    sent = {"kind": "sheaves", "table": text, "unit": unit, "mark": mark}
    looked = shop.post("/shelf/stock/paste/", {**sent, "do": "look"})
    assert looked.status_code == 200
    page = looked.content.decode()
    assert "1 row can be used" in page, re.findall(r"<li>([^<]*)", page)
    assert StockPart.objects.count() == 0
    assert shop.post("/shelf/stock/paste/", {**sent, "do": "keep"}).status_code == 302
    (sheave,) = shelf().stock.sheaves
    assert (sheave.number, sheave.count, sheave.bore, sheave.price) == ("7", 2, "25.40 mm key", price)
    assert sheave.outside == pytest.approx(4.75 * 0.0254, abs=1e-9)  # 120.65 mm, by hand


def test_a_column_nobody_knows_is_mapped_by_hand_and_bad_rows_are_named(shop: Client):
    text = "Fach\tx\ty\nA1\tA\t4 3/4\nA2\tA\tlarge\n"
    sent = {"kind": "sheaves", "table": text, "unit": "in", "mark": "", "do": "look"}
    page = shop.post("/shelf/stock/paste/", sent).content.decode()
    assert "0 rows can be used" in page
    mapped = {"mapped": "sheaves:3", "m0": "place", "m1": "section", "m2": "outside"}
    page = shop.post("/shelf/stock/paste/", {**sent, **mapped}).content.decode()
    assert "1 row can be used" in page
    assert "large" in page
    assert shop.post("/shelf/stock/paste/", {**sent, **mapped, "do": "keep"}).status_code == 302
    (sheave,) = shelf().stock.sheaves
    assert (sheave.number, sheave.place) == ("1", "A1")


def test_nothing_pasted_or_nonsense_is_answered(shop: Client):
    for text in ("", "\x00", '"', "a\n" * 6000, "\t\t\t\n"):
        reply = shop.post("/shelf/stock/paste/", {"kind": "belts", "table": text, "unit": "in", "do": "keep"})
        assert reply.status_code in (200, 422)
    assert StockPart.objects.count() == 0
