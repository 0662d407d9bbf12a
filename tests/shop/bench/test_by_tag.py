"""A photographed tag leads to its machine; another shop's, none and no photo are told apart, and nothing is kept."""

import io
import subprocess
from pathlib import Path

import pytest
import segno
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from PIL import Image, ImageFilter

from snath.shop.records.models import Attachment, JobRecord
from tests.shop.demo_shop import demo_shop

pytestmark = pytest.mark.django_db


@pytest.fixture
def shop(db) -> Client:
    demo_shop()
    return Client(headers={"host": "localhost"})


def photo_of(text: str) -> bytes:
    """A square held askew on a grey bench, a little out of focus. The writer is segno, the reader another library."""
    square = io.BytesIO()
    segno.make(text, error="q", micro=False).save(square, kind="png", scale=8, border=4)
    with Image.open(square) as opened:
        tag = opened.convert("RGB").rotate(17, expand=True, fillcolor="#d8d2c4")
    bench = Image.new("RGB", (tag.width + 300, tag.height + 200), "#8a8a86")
    bench.paste(tag, (120, 90))
    kept = io.BytesIO()
    bench.filter(ImageFilter.GaussianBlur(1.5)).save(kept, "JPEG", quality=70)
    return kept.getvalue()


def post(shop: Client, data: bytes):
    return shop.post("/jobs/new/by-tag/", {"photo": SimpleUploadedFile("tag.jpg", data)})


def test_a_printed_tag_leads_to_its_machine(shop: Client, tmp_path: Path):
    record = JobRecord.objects.select_related("machine").get(number=1)
    kept = Attachment.objects.count()
    file = tmp_path / "tag.pdf"
    file.write_bytes(shop.get("/jobs/1/tag.pdf").content)
    subprocess.run(
        ["pdftoppm", "-r", "120", "-singlefile", "-png", str(file), str(tmp_path / "tag")], check=True
    )
    reply = post(shop, (tmp_path / "tag.png").read_bytes())
    assert reply.url == f"/shelf/machines/{record.machine.pk}/again/"
    assert Attachment.objects.count() == kept


def test_a_square_that_opens_the_record_leads_there_from_any_address_of_the_bench(shop: Client):
    record = JobRecord.objects.get(number=4)
    reply = post(shop, photo_of(f"https://192.0.2.7:8443/tag/{record.pk}/"))
    assert reply.url == f"/shelf/machines/{record.machine_id}/again/"


def test_the_german_tag_is_read_too(shop: Client):
    record = JobRecord.objects.select_related("machine").get(number=3)
    text = f"{record.machine.name}\nNIE ÜBER 3.298 1/min\nAuftrag 3\nExample Mowers"
    assert post(shop, photo_of(text)).url == f"/shelf/machines/{record.machine_id}/again/"


@pytest.mark.parametrize(
    "text",
    [
        "Somebody else's mower\nNEVER ABOVE 3,298 rpm\nJob 1\nAnother shop",  # the same number, another machine
        "https://192.0.2.7/tag/00000000-0000-4000-8000-000000000000/",
        "https://192.0.2.7/tag/------------------------------------/",
        "WIFI:S:shop;;",
        "",
    ],
)
def test_a_square_of_something_else_names_no_machine(shop: Client, text):
    reply = post(shop, photo_of(text or " "))
    assert reply.status_code == 422
    assert "speaks of no machine on this shelf" in reply.content.decode()


def test_a_photo_without_a_square_and_no_photo_at_all_say_so(shop: Client):
    bare = io.BytesIO()
    Image.new("RGB", (640, 480), "#8a8a86").save(bare, "JPEG")
    assert "No square could be read" in post(shop, bare.getvalue()).content.decode()
    assert "must be a photo" in post(shop, b"<svg onload=alert(1)>").content.decode()
    assert shop.post("/jobs/new/by-tag/", {}).status_code == 422
