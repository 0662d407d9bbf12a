"""Every change to a sealed file shows, pinned on the part it was made in; a cut or foreign file is told as such."""

import hashlib
import io
import json
import random
import zipfile

import pytest

from snath.quantities.errors import InputError
from snath.shop.paper.sealed import MANIFEST, Kept, digest, sealed_file
from snath.shop.paper.sealed_check import check_sealed
from tests.told import refused

KEPT = (
    Kept("governor.jpg", digest(b"photo"), "image/jpeg", b"photo"),
    Kept("idle.wav", digest(b"sound"), "audio/wav", b"sound"),
    Kept("film.mp4", "ab12" * 16, "video/mp4"),
)


@pytest.fixture(scope="module")
def sealed(job, result, facts) -> bytes:
    return sealed_file(job, result, facts=facts, kept=KEPT)


@pytest.fixture(scope="module")
def parts(sealed) -> dict[str, bytes]:
    return opened(sealed)


def opened(data: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def rezipped(parts: dict[str, bytes], *again: str) -> bytes:
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w") as archive:
        for name, data in parts.items():
            archive.writestr(name, data)
        for name in again:
            with pytest.warns(UserWarning, match="Duplicate name"):
                archive.writestr(name, b"x")
    return held.getvalue()


def check(data: bytes, **how: str):
    return check_sealed(io.BytesIO(data), **how)


def told(data: bytes, **how: str) -> list[tuple[str, str]]:
    return [(part.name, part.state) for part in check(data, **how).changed]


def test_an_untouched_file_is_whole_and_says_whose_it_is(sealed, parts, facts):
    found = check(sealed)
    # Another road: the seal by the standard library over the part as it lies in the zip.
    assert found.seal == hashlib.sha256(parts[MANIFEST]).hexdigest()
    assert (found.whole, found.sealed, len(found.parts)) == (True, None, len(parts) - 1)
    assert (found.job, found.version, found.record) == (facts.number, facts.version, facts.record_hash)
    assert found.kept_by_the_shop == (("film.mp4", "ab12" * 16),)
    assert check(sealed, seal=found.seal.upper() + "\n").sealed is True


def test_one_flipped_bit_in_any_part_is_pinned_on_that_part(parts):
    # Property: SHA-256 tells any two parts apart.
    chance = random.Random(7)
    for name in set(parts) - {MANIFEST}:
        changed = bytearray(parts[name])
        changed[chance.randrange(len(changed))] ^= 1 << chance.randrange(8)
        assert told(rezipped({**parts, name: bytes(changed)})) == [(name, "changed")]


def test_one_flipped_bit_anywhere_in_the_file_shows_or_leaves_every_part_as_it_was(sealed, parts):
    # Property: a zip has bytes that carry nothing, such as its dates; a flip there may pass, no other.
    chance, shown = random.Random(11), 0
    for _ in range(1500):
        changed = bytearray(sealed)
        changed[chance.randrange(len(changed))] ^= 1 << chance.randrange(8)
        try:
            whole = check(bytes(changed)).whole
        except InputError:
            whole = False
        shown += not whole
        assert not whole or opened(bytes(changed)) == parts
    assert shown > 1400


@pytest.mark.parametrize("name", ["job.json", "attachments/idle.wav", "README.txt"])
def test_a_part_taken_out_is_named(parts, name):
    assert told(rezipped({n: data for n, data in parts.items() if n != name})) == [(name, "missing")]


def test_swapped_attachments_are_both_named(parts):
    one, other = "attachments/governor.jpg", "attachments/idle.wav"
    swapped = {**parts, one: parts[other], other: parts[one]}
    assert told(rezipped(swapped)) == [(one, "changed"), (other, "changed")]


def test_a_part_slipped_in_or_there_twice_is_named(parts):
    assert told(rezipped({**parts, "extra.txt": b"x"})) == [("extra.txt", "added")]
    assert told(rezipped(parts, "job.json")) == [("job.json", "twice")]
    # Of a list that is there twice the last counts, as with every reader of zips; here it is none.
    with refused("list of parts"):
        told(rezipped(parts, MANIFEST))


def test_a_list_made_to_fit_is_caught_by_the_seal_alone(sealed, parts):
    forged = parts["result.json"].replace(b'"fail"', b'"pass"')
    assert forged != parts["result.json"]
    manifest = parts[MANIFEST].replace(digest(parts["result.json"]).encode(), digest(forged).encode())
    made_to_fit = rezipped({**parts, "result.json": forged, MANIFEST: manifest})
    assert check(made_to_fit).whole
    found = check(made_to_fit, seal=check(sealed).seal)
    assert (found.sealed, found.whole) == (False, False)


def test_a_file_cut_off_anywhere_is_told_as_damaged(sealed):
    # The list of a zip's parts stands at its end: without it nothing can be looked up.
    for length in (60, len(sealed) // 3, len(sealed) // 2, len(sealed) - 30, len(sealed) - 1):
        found = check(sealed[:length])
        assert (found.readable, found.whole, found.parts) == (False, False, ())


def test_a_list_that_is_gone_or_damaged_is_told_as_that(sealed, parts):
    assert told(rezipped({n: data for n, data in parts.items() if n != MANIFEST})) == [(MANIFEST, "missing")]
    start = zipfile.ZipFile(io.BytesIO(sealed)).getinfo(MANIFEST).header_offset
    damaged = bytearray(sealed)
    damaged[start + 100] ^= 0xFF
    assert told(bytes(damaged)) == [(MANIFEST, "unreadable")]


def test_a_part_packed_in_a_way_we_never_use_is_not_unpacked(parts):
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w") as archive:
        for name, data in parts.items():
            archive.writestr(name, data, zipfile.ZIP_BZIP2 if name == "job.json" else zipfile.ZIP_STORED)
    assert told(held.getvalue()) == [("job.json", "unreadable")]


@pytest.mark.parametrize("data", [b"", b"PK", b"not a zip" * 9, rezipped({"other.txt": b"x"})])
def test_something_else_is_refused(data):
    with refused("must be one that was written by"):
        check(data)


@pytest.mark.parametrize("manifest", [b"[1, 2]", b"{", b"{}", b"[" * 100_000, b'{"format":"other"}', b"\xff"])
def test_a_list_of_another_shape_is_refused(parts, manifest):
    with refused("list of parts of the format snath-sealed-1"):
        check(rezipped({**parts, MANIFEST: manifest}))


def test_a_list_with_a_row_of_another_shape_is_refused(parts):
    listed = json.loads(parts[MANIFEST])
    for wrong in ({"name": 1, "sha256": "x"}, {"name": "x"}, "x"):
        with refused("list of parts"):
            check(
                rezipped(
                    {**parts, MANIFEST: json.dumps({**listed, "files": [*listed["files"], wrong]}).encode()}
                )
            )


def test_a_list_that_names_no_job_is_refused(parts):
    listed = json.loads(parts[MANIFEST])
    others = [row for row in listed["files"] if row["name"] != "job.json"]
    with refused("list of parts"):
        check(rezipped({**parts, MANIFEST: json.dumps({**listed, "files": others}).encode()}))


def test_a_file_that_would_unpack_without_end_is_refused(parts, monkeypatch):
    monkeypatch.setattr("snath.shop.paper.sealed_check.LARGEST", 1000)
    with refused("unpack to at most"):
        check(rezipped(parts))
