"""The sealed file: complete, the same every time, and nothing that is not what was recorded gets in."""

import io
import json
import zipfile

import pytest

from snath.decisions.job.schema import job_from_json, result_to_json
from snath.decisions.job.work import work
from snath.shop.paper.sealed import MANIFEST, Kept, digest, sealed_file
from tests.told import refused


@pytest.fixture(scope="module")
def sealed(job, result, facts):
    kept = (
        Kept("governor.jpg", digest(b"photo"), "image/jpeg", b"photo"),
        Kept("idle.wav", "ab12" * 16, "audio/wav"),
    )
    return sealed_file(job, result, facts=facts, kept=kept)


def opened(data):
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def test_it_holds_sheet_job_result_attachments_and_how_to_check(sealed):
    parts = opened(sealed)
    assert set(parts) == {
        "README.txt", "attachments/governor.jpg", "job-sheet.pdf", "job.json", "manifest.json", "result.json",
    }  # fmt: skip
    assert parts["job-sheet.pdf"].startswith(b"%PDF")
    assert b"sha256sum" in parts["README.txt"]
    manifest = json.loads(parts[MANIFEST])
    assert manifest["kept_by_the_shop"] == [{"name": "idle.wav", "sha256": "ab12" * 16, "media": "audio/wav"}]
    assert manifest["record"] == "3b1f" * 16
    assert manifest["program"].startswith("snath ")


def test_the_job_in_it_can_be_worked_again_to_the_same_result(sealed):
    parts = opened(sealed)
    again = work(job_from_json(parts["job.json"].decode()))
    assert result_to_json(again).encode() == parts["result.json"]


def test_the_same_job_gives_the_same_bytes(sealed, job, result, facts):
    kept = (
        Kept("governor.jpg", digest(b"photo"), "image/jpeg", b"photo"),
        Kept("idle.wav", "ab12" * 16, "audio/wav"),
    )
    assert sealed_file(job, result, facts=facts, kept=kept) == sealed


def test_an_attachment_that_is_not_the_recorded_one_is_refused(job, result, facts):
    with refused(r"attachment = photo\.jpg"):
        sealed_file(job, result, facts=facts, kept=(Kept("photo.jpg", "ab12" * 16, content=b"other"),))


def test_names_from_outside_cannot_leave_the_folder_or_collide(job, result, facts):
    kept = tuple(
        Kept(name, digest(b"x"), content=b"x")
        for name in ("../../etc/passwd", "a b.jpg", "a/b.jpg", "", "a b.jpg")
    )
    names = [
        n for n in opened(sealed_file(job, result, facts=facts, kept=kept)) if n.startswith("attachments/")
    ]
    assert len(names) == 5
    assert all(name.count("/") == 1 and ".." not in name for name in names)
