"""Check a sealed file for changes since it was written: needs the file alone, no shop, no database.

The list of parts in it says what every part must hash to; the seal says what the list must hash to, and has
to be known from elsewhere. A file that is cut off or damaged is told as that, not as something foreign.
"""

import hashlib
import json
import zipfile
import zlib
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, BinaryIO, Literal

from snath.quantities.errors import InputError
from snath.quantities.message import Message

FORMAT = "snath-sealed-1"
MANIFEST, README = "manifest.json", "README.txt"
JOB, RESULT = "job.json", "result.json"  # in every sealed file, whatever else is
State = Literal["whole", "changed", "unreadable", "missing", "added", "twice"]
PACKINGS = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
LARGEST = 1_000_000_000  # bytes unpacked that are read
CHUNK = 1 << 20
NAME_AT = 30  # where the name of the first part begins in a zip
DAMAGE = (
    *(zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError),
    *(ValueError, OverflowError, OSError),
)


@dataclass(frozen=True, slots=True)
class Part:
    """One file in the zip, or one that should be there."""

    name: str
    state: State


@dataclass(frozen=True, slots=True)
class SealCheck:
    """What a sealed file says of itself, and whether that still holds.

    `seal` is the hash of the list of parts as found, empty where it cannot be read; `sealed` says whether it is
    the one told by another road, None where none was told. `kept_by_the_shop` are names and hashes of what
    was listed without being enclosed.
    """

    seal: str
    sealed: bool | None
    parts: tuple[Part, ...]
    job: str = ""
    version: str = ""
    record: str = ""
    program: str = ""
    kept_by_the_shop: tuple[tuple[str, str], ...] = ()

    @property
    def readable(self) -> bool:
        """Whether there is anything to compare: a zip with its list of parts."""
        return bool(self.seal)

    @property
    def changed(self) -> tuple[Part, ...]:
        """Parts that are not as they were sealed."""
        return tuple(part for part in self.parts if part.state != "whole")

    @property
    def whole(self) -> bool:
        """Whether nothing was changed, added, taken out or cut off."""
        return self.readable and self.sealed is not False and not self.changed


def check_sealed(file: BinaryIO, *, seal: str = "") -> SealCheck:
    """Work every hash of a sealed file out again.

    Parameters
    ----------
    file : binary file
        Open for reading, at any place.
    seal : str
        The hash that was told by another road; empty checks the parts against the list in the file only.

    Raises
    ------
    InputError
        Where it is no sealed file at all.
    """
    ours = _begins_like_ours(file)
    try:
        archive = zipfile.ZipFile(file)
        names = archive.namelist()
    except DAMAGE:
        if not ours:
            raise _foreign() from None
        return SealCheck("", None, ())
    if MANIFEST not in names and not ours:
        raise _foreign()
    if sum(info.file_size for info in archive.infolist()) > LARGEST:
        raise InputError("sealed file", "this file", Message("records.unpacked", most=LARGEST // 1_000_000))
    if MANIFEST not in names:
        return SealCheck("", None, (Part(MANIFEST, "missing"),))
    try:
        raw = archive.read(MANIFEST)
    except DAMAGE:
        return SealCheck("", None, (Part(MANIFEST, "unreadable"),))
    return _compared(archive, raw, seal.strip().lower())


def _compared(archive: zipfile.ZipFile, raw: bytes, seal: str) -> SealCheck:
    found = hashlib.sha256(raw).hexdigest()
    manifest = _manifest(raw)
    return SealCheck(
        seal=found,
        sealed=found == seal if seal else None,
        parts=tuple(_parts(archive, {row["name"]: row["sha256"] for row in manifest["files"]})),
        job=str(manifest["job"]),
        version=str(manifest["version"]),
        record=str(manifest["record"]),
        program=str(manifest["program"]),
        kept_by_the_shop=tuple(
            (str(row["name"]), str(row["sha256"])) for row in manifest["kept_by_the_shop"]
        ),
    )


def _manifest(raw: bytes) -> dict[str, Any]:
    try:
        manifest: dict[str, Any] = json.loads(raw)
        rows = [*manifest["files"], *manifest["kept_by_the_shop"]]
        known = all(isinstance(row[key], str) for row in rows for key in ("name", "sha256"))
        known = known and manifest.keys() >= {"job", "version", "record", "program"}
        known = known and {JOB, RESULT} <= {row["name"] for row in manifest["files"]}
        if known and manifest["format"] == FORMAT:
            return manifest
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        pass
    raise InputError("sealed file", MANIFEST, Message("records.parts-list", format=FORMAT))


def _parts(archive: zipfile.ZipFile, listed: dict[str, str]) -> Iterator[Part]:
    there = Counter(archive.namelist())
    for name in sorted({*listed, *there} - {MANIFEST}):
        if name not in there:
            yield Part(name, "missing")
        elif name not in listed:
            yield Part(name, "added")
        else:
            yield Part(name, _state(archive, name, listed[name]) if there[name] == 1 else "twice")
    if there[MANIFEST] > 1:
        yield Part(MANIFEST, "twice")


def _state(archive: zipfile.ZipFile, name: str, sha256: str) -> State:
    info = archive.getinfo(name)
    if info.compress_type not in PACKINGS:
        return "unreadable"
    digest = hashlib.sha256()
    try:
        with archive.open(info) as part:
            for chunk in iter(lambda: part.read(CHUNK), b""):
                digest.update(chunk)
    except DAMAGE:
        return "unreadable"
    return "whole" if digest.hexdigest() == sha256 else "changed"


def _begins_like_ours(file: BinaryIO) -> bool:
    """Whether the first part is the one every sealed file begins with, though the rest may be gone."""
    file.seek(0)
    head = file.read(NAME_AT + len(README))
    file.seek(0)
    return head.startswith(b"PK\x03\x04") and head.endswith(README.encode())


def _foreign() -> InputError:
    return InputError("sealed file", "this file", Message("records.sealed-here"))
