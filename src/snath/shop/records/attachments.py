"""Keep photos and recordings by their hash, and tell whether they are still what they were.

Files are kept under their own SHA-256 in the data folder and never rewritten: a file with the right
name and the wrong content shows at once. The row is added after the bytes are on disk.
"""

import hashlib
import os
import re
import secrets
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from django.conf import settings
from django.utils import timezone

from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.shop.records.jobs import SHA256, Attachment, JobRecord
from snath.shop.records.machines import MachineRecord
from snath.shop.records.people import Person
from snath.shop.records.photos import clean_photo
from snath.shop.records.readable import readable

LARGEST_RECORDING = 400_000_000
LARGEST_PHOTO = 30_000_000
CHUNK = 1 << 20
RECORDINGS = {  # what a recording's name may end in, and what it is then served as
    ".wav": "audio/wav",
    ".mp3": "audio/mpeg",
    ".m4a": "audio/mp4",
    ".ogg": "audio/ogg",
    ".webm": "video/webm",
    ".mp4": "video/mp4",
    ".mov": "video/quicktime",
    ".csv": "text/csv",
}


@dataclass(frozen=True, slots=True)
class Kept:
    """Bytes that are on disk."""

    sha256: str
    size: int


def place_of(sha256: str) -> Path:
    """Where bytes of that hash lie; the hash is checked, because it becomes a path."""
    if not re.fullmatch(SHA256, sha256):
        raise ValueError("an attachment is kept under its SHA-256 and nothing else")
    return Path(settings.MEDIA_ROOT) / sha256[:2] / sha256


def keep_bytes(
    chunks: Iterable[bytes], *, field: str, largest: int, place: Callable[[str], Path] = place_of
) -> Kept:
    """Write bytes under their hash, at the place that belongs to it; on disk when this returns.

    Raises
    ------
    InputError
        If there are more of them than `largest`; nothing is kept then.
    """
    digest, size = hashlib.sha256(), 0
    root = Path(settings.MEDIA_ROOT)
    draft = root / f".incoming-{secrets.token_hex(8)}"
    try:
        with draft.open("xb") as file:
            for chunk in chunks:
                size += len(chunk)
                if size > largest:
                    raise InputError(
                        field, f"over {largest} bytes", Message("fault.megabytes", most=largest // 1_000_000)
                    )
                digest.update(chunk)
                file.write(chunk)
            file.flush()
            os.fsync(file.fileno())
        kept = place(digest.hexdigest())
        kept.parent.mkdir(mode=0o700, exist_ok=True)
        draft.replace(kept)
        for folder in (kept.parent, root):
            _sync(folder)
    finally:
        draft.unlink(missing_ok=True)
    return Kept(digest.hexdigest(), size)


def keep_photo(
    data: bytes,
    name: str,
    who: Person,
    *,
    job: JobRecord | None = None,
    machine: MachineRecord | None = None,
    note: str = "",
) -> Attachment:
    """Keep a photo, re-encoded and without what the camera wrote beside it (place, time, owner)."""
    if len(data) > LARGEST_PHOTO:
        raise InputError(
            "photo", f"{len(data)} bytes", Message("fault.megabytes", most=LARGEST_PHOTO // 1_000_000)
        )
    kept = keep_bytes([clean_photo(data)], field="photo", largest=LARGEST_PHOTO)
    return _attach(kept, "photo", "image/jpeg", name, who, job, machine, note)


def keep_recording(
    chunks: Iterable[bytes],
    name: str,
    who: Person,
    *,
    job: JobRecord | None = None,
    machine: MachineRecord | None = None,
    note: str = "",
) -> Attachment:
    """Keep a recording byte for byte; its hash is the evidence."""
    media = RECORDINGS.get(Path(name).suffix.lower())
    if media is None:
        raise InputError("recording", name, Message("fault.file-ending", known=tuple(RECORDINGS)))
    kept = keep_bytes(chunks, field="recording", largest=LARGEST_RECORDING)
    return _attach(kept, "recording", media, name, who, job, machine, note)


def _attach(
    kept: Kept,
    kind: str,
    media: str,
    name: str,
    who: Person,
    job: JobRecord | None,
    machine: MachineRecord | None,
    note: str,
) -> Attachment:
    return Attachment.objects.create(
        job=job,
        machine=machine,
        sha256=kept.sha256,
        kind=kind,
        media=media,
        size=kept.size,
        name=plain_name(name),
        note=note[:400],
        at=timezone.now(),
        who=who.name,
    )


def plain_name(name: str) -> str:
    """The last part of a file name without what could be a path or a trick; a label, never a place."""
    last = name.replace("\\", "/").split("/")[-1]
    return "".join(c for c in last if c.isprintable()).strip(". ")[:120]


def damaged() -> Iterator[Attachment]:
    """Attachments whose bytes are missing or no longer what they were."""
    for attachment in readable(Attachment, "default"):
        if (
            isinstance(attachment, Attachment)
            and hash_of_file(place_of(attachment.sha256)) != attachment.sha256
        ):
            yield attachment


def hash_of_file(path: Path) -> str:
    """SHA-256 of a file, empty when it is not there."""
    if not path.is_file():
        return ""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def _sync(folder: Path) -> None:
    """Make a new name in a folder outlive a power cut; not every system can open a folder."""
    try:
        handle = os.open(folder, os.O_RDONLY)
    except OSError:
        return
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
