"""Photos and recordings: kept under their hash, opened elsewhere, without what the camera knows."""

import hashlib
import io
import struct
import zlib

import pytest
from PIL import Image

from snath.shop.records import attachments, photos
from snath.shop.records.attachments import damaged, keep_photo, keep_recording, place_of, plain_name
from snath.shop.records.photos import clean_photo
from tests.shop.records.shop_of_our_own import machine
from tests.told import refused

pytestmark = pytest.mark.django_db


def photo(size=(60, 40), kind="JPEG", **saved) -> bytes:
    picture = Image.new("RGB", size, "white")
    picture.paste((200, 30, 30), (0, 0, size[0] // 2, size[1]))
    out = io.BytesIO()
    picture.save(out, kind, **saved)
    return out.getvalue()


def with_position() -> bytes:
    exif = Image.Exif()
    exif[0x010F] = "camera of the owner"
    exif[0x0132] = "2026:05:01 08:00:00"
    exif[0x0112] = 6  # stands on its side: turn a quarter to the right
    exif.get_ifd(0x8825).update({1: "N", 2: (51.0, 28.0, 38.0), 3: "W", 4: (0.0, 0.0, 5.0)})
    return photo(exif=exif)


def test_a_photo_loses_position_times_and_names_and_stands_upright():
    dirty = with_position()
    assert Image.open(io.BytesIO(dirty)).getexif().get_ifd(0x8825)  # the test's own photo does carry them
    clean = Image.open(io.BytesIO(clean_photo(dirty)))
    assert dict(clean.getexif()) == {}
    assert set(clean.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
    # By hand: 60 x 40 with red on the left, turned a quarter right, is 40 x 60 with red on top.
    assert clean.size == (40, 60)
    assert clean.getpixel((20, 5))[0] > 150 > clean.getpixel((20, 5))[1]
    assert min(clean.getpixel((20, 55))) > 200


@pytest.mark.parametrize("kind", ["PNG", "WEBP"])
def test_other_photos_become_jpeg_and_large_ones_are_scaled_down(kind):
    clean = Image.open(io.BytesIO(clean_photo(photo((3000, 300), kind))))
    assert (clean.format, clean.size) == ("JPEG", (2560, 256))


def bomb() -> bytes:
    """A PNG of 60,000 x 60,000 white points in a few kilobytes, the header alone being honest."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    header = struct.pack(">IIBBBBB", 60_000, 60_000, 1, 0, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", header)
        + chunk(b"IDAT", zlib.compress(b"\0" * 10_000))
        + chunk(b"IEND", b"")
    )


NOT_PHOTOS = {
    "empty": b"",
    "svg": b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>',
    "html": b"<!doctype html><script>alert(1)</script>",
    "html after a jpeg's first bytes": b"\xff\xd8\xff<script>alert(1)</script>",
    "half a photo": photo()[:300],
    "gif": photo(kind="GIF"),
    "tiff": photo(kind="TIFF"),
    "postscript": b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 9 9\n(/etc/passwd) run",
    "bomb": bomb(),
}


@pytest.mark.parametrize("data", NOT_PHOTOS.values(), ids=NOT_PHOTOS)
def test_whatever_is_not_a_photo_is_refused_and_not_kept(data, mechanic, attachments):
    with refused("must be a photo as JPEG, PNG or WebP"):
        keep_photo(data, "x.jpg", mechanic)
    assert not [path for path in attachments.rglob("*") if path.is_file()]


def test_markup_hidden_in_a_photo_does_not_come_out_again():
    sneaky = photo(comment=b"<script>alert(1)</script>") + b"<script>alert(2)</script>"
    assert b"script" in sneaky
    assert b"script" not in clean_photo(sneaky)


def test_a_picture_that_takes_too_long_to_open_is_refused(monkeypatch):
    monkeypatch.setattr(photos, "SECONDS", 0.001)
    with refused("takes too long"):
        clean_photo(photo())


def test_a_kept_photo_is_the_re_encoded_one_under_its_own_hash(mechanic):
    kept = keep_photo(with_position(), "IMG_0001.JPG", mechanic, machine=machine())
    data = place_of(kept.sha256).read_bytes()
    assert hashlib.sha256(data).hexdigest() == kept.sha256
    assert (len(data), kept.media, kept.kind, kept.who) == (kept.size, "image/jpeg", "photo", mechanic.name)


def test_a_recording_is_kept_byte_for_byte_once_however_often_it_comes(mechanic, attachments):
    for name in ("a.wav", "b.M4A"):
        kept = keep_recording([b"RIFF", b"...."], name, mechanic)
    assert kept.sha256 == hashlib.sha256(b"RIFF....").hexdigest()
    assert place_of(kept.sha256).read_bytes() == b"RIFF...."
    assert len([path for path in attachments.rglob("*") if path.is_file()]) == 1


@pytest.mark.parametrize("name", ["x.svg", "x.html", "x", "x.wav.exe", "wav"])
def test_a_recording_under_another_kind_of_name_is_refused(name, mechanic):
    with refused("must be a file ending in"):
        keep_recording([b"x"], name, mechanic)


def test_a_recording_that_is_too_long_is_refused_before_it_fills_the_disk(mechanic, monkeypatch, attachments):
    monkeypatch.setattr("snath.shop.records.attachments.LARGEST_RECORDING", 2_000_000)
    endless = iter(lambda: b"x" * 1_000_000, None)
    with refused("at most 2 MB"):
        keep_recording(endless, "x.wav", mechanic)
    assert not [path for path in attachments.rglob("*") if path.is_file()]


TRICKS = [
    "../../secret-key",
    "..\\..\\x.wav",
    "/etc/passwd",
    "a/../../b.wav",
    "x\x00.wav",
    "\n\r\tx.wav",
    "." * 300,
]


@pytest.mark.parametrize("name", TRICKS)
def test_a_file_name_is_a_label_and_never_a_place(name, mechanic, attachments):
    label = plain_name(name)
    assert not set(label) & set("/\\\x00\n\r\t")
    assert not label.startswith(".")
    assert len(label) <= 120
    keep_recording([b"x"], name + ".wav", mechanic)
    kept = [path for path in attachments.rglob("*") if path.is_file()]
    assert kept == [place_of(hashlib.sha256(b"x").hexdigest())]


@pytest.mark.parametrize("name", ["../../../etc/passwd", "A" * 64, "0" * 63, "0" * 64 + "\n", ""])
def test_only_a_hash_names_a_place(name):
    with pytest.raises(ValueError, match="SHA-256"):
        place_of(name)


def test_changed_and_missing_bytes_show(mechanic):
    kept = [keep_recording([letter], "x.wav", mechanic) for letter in (b"a", b"b", b"c")]
    assert list(damaged()) == []
    place_of(kept[0].sha256).write_bytes(b"changed")
    place_of(kept[1].sha256).unlink()
    assert {found.pk for found in damaged()} == {kept[0].pk, kept[1].pk}


def test_the_process_that_opens_photos_has_little_memory_time_and_no_files(monkeypatch):
    # Property: the limits are set before a byte is read.
    from snath.shop.records import photo_child

    taken = {}
    monkeypatch.setattr("resource.setrlimit", lambda what, most: taken.update({what: most}))
    photo_child.limit()
    import resource

    assert taken[resource.RLIMIT_FSIZE] == (0, 0)
    assert taken[resource.RLIMIT_AS][0] <= 2_000_000_000
    assert taken[resource.RLIMIT_CPU][0] <= 20
    assert attachments.LARGEST_PHOTO <= 50_000_000
