"""`snath verify FILE` as an inspector runs it: what was changed, what the seal is worth, how to read the file."""

import json
import zipfile

import pytest
from click.testing import CliRunner

from snath.decisions.job.work import work
from snath.shop.cli.main import main
from snath.shop.paper.facts import SheetFacts
from snath.shop.paper.sealed import Kept, digest, sealed_file
from tests.machines import direct, inches, job

JOB = job(direct(inches(21)), market="US")
KEPT = (Kept("idle.wav", digest(b"sound"), content=b"sound"), Kept("film.mp4", "ab12" * 16))


@pytest.fixture(scope="module")
def sealed() -> bytes:
    return sealed_file(JOB, work(JOB), facts=SheetFacts(number="12", version="3"), kept=KEPT)


@pytest.fixture
def file(sealed, tmp_path):
    path = tmp_path / "job-12-sealed.zip"
    path.write_bytes(sealed)
    return path


def verify(*words: object) -> tuple[int, dict]:
    done = CliRunner().invoke(main, ["verify", *map(str, words), "--json"], catch_exceptions=False)
    return done.exit_code, json.loads(done.output)


def said(*words: object) -> str:
    return CliRunner().invoke(main, ["verify", *map(str, words)], catch_exceptions=False).output


def states(found: dict) -> dict[str, str]:
    return {part["name"]: part["state"] for part in found["parts"] if part["state"] != "whole"}


def test_a_whole_file_leaves_with_0_and_says_how_to_read_it(file):
    code, found = verify(file)
    assert (code, found["whole"], found["seal_as_told"], found["saved_so"]) == (0, True, None, None)
    text = said(file)
    assert "job 12, version 3" in text
    assert "compare the seal with the one the shop tells you" in text
    assert f"kept by the shop: film.mp4, SHA-256 {'ab12' * 16}" in text
    assert "job-sheet.pdf   the sheet" in text
    told = said(file, "--seal", found["seal"])
    assert "are those of the seal you were told" in told


def test_a_flipped_byte_leaves_with_1_and_names_the_part(file, sealed):
    start = zipfile.ZipFile(file).getinfo("job.json").header_offset
    changed = bytearray(sealed)
    changed[start + 200] ^= 1
    file.write_bytes(changed)
    code, found = verify(file)
    assert (code, states(found)) == (1, {"job.json": "unreadable"})
    assert "job.json: damaged: it cannot be unpacked" in said(file)
    assert "not as it was sealed" in said(file)


def test_a_removed_part_and_a_swapped_attachment_leave_with_1(file):
    with zipfile.ZipFile(file) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    del parts["result.json"]
    parts["attachments/idle.wav"] = b"another sound"
    with zipfile.ZipFile(file, "w") as archive:
        for name, data in parts.items():
            archive.writestr(name, data)
    code, found = verify(file)
    assert (code, states(found)) == (1, {"attachments/idle.wav": "changed", "result.json": "missing"})
    assert "result.json: taken out since it was sealed" in said(file)


def test_a_cut_file_leaves_with_1_and_is_not_taken_for_a_foreign_one(file, sealed):
    file.write_bytes(sealed[: len(sealed) // 2])
    code, found = verify(file)
    assert (code, found["readable"], found["whole"], found["seal"]) == (1, False, False, None)
    assert "cut off or damaged" in said(file)


def test_another_seal_than_the_one_told_leaves_with_1(file):
    code, found = verify(file, "--seal", "0" * 64)
    assert (code, found["seal_as_told"], states(found)) == (1, False, {})
    assert "not the seal you were told" in said(file, "--seal", "0" * 64)


def test_what_is_no_sealed_file_leaves_with_2(tmp_path):
    (tmp_path / "x").write_bytes(b"something else")
    assert verify(tmp_path / "x")[0] == 2


def test_the_job_in_a_sealed_file_can_be_worked_again_as_long_as_nothing_was_changed(file, sealed):
    again = CliRunner().invoke(main, ["rework", str(file), "--json"], catch_exceptions=False)
    assert (again.exit_code, json.loads(again.output)["by_program"]) == (0, [])
    start = zipfile.ZipFile(file).getinfo("job-sheet.pdf").header_offset
    file.write_bytes(sealed[: start + 500] + b"x" + sealed[start + 501 :])
    refused = CliRunner().invoke(main, ["rework", str(file), "--json"], catch_exceptions=False)
    assert refused.exit_code == 2
    assert "as it was sealed" in refused.output


def test_a_seal_without_its_file_leaves_with_2():
    code, found = verify("--seal", "0" * 64)
    assert (code, found["errors"][0]["field"]) == (2, "seal")
