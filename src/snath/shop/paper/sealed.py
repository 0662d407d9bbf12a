"""The sealed file for an insurer or inspector: the sheet, the data behind it, and the hash of every part.

It is an ordinary zip, so that it opens anywhere in twenty years; its seal is the SHA-256 of the manifest,
told to the other side by another road. The same job gives the same bytes.
"""

import hashlib
import io
import json
import re
import zipfile
from collections.abc import Sequence
from dataclasses import dataclass

from snath.decisions.job.job import Job
from snath.decisions.job.result import Result
from snath.decisions.job.schema import job_to_json, result_to_json
from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.shop.paper.facts import SheetFacts
from snath.shop.paper.job_sheet import job_sheet
from snath.shop.paper.sealed_check import FORMAT, JOB, MANIFEST, README, RESULT
from snath.shop.paper.voices import paper_voice
from snath.shop.pictures.voice import Voice

LONG_AGO = (1980, 1, 1, 0, 0, 0)  # the zip's own dates say nothing; when is written in the job


@dataclass(frozen=True, slots=True)
class Kept:
    """A photo or recording of the job: its hash, and its bytes where they are to be enclosed."""

    name: str
    sha256: str
    media: str = ""
    content: bytes | None = None


def sealed_file(
    job: Job,
    result: Result,
    *,
    facts: SheetFacts,
    kept: Sequence[Kept] = (),
    paper: str = "a4",
    voice: Voice | None = None,
) -> bytes:
    """Sheet, job, result, attachments and manifest in one zip.

    Raises
    ------
    InputError
        Where the bytes of an attachment do not have the hash they were recorded with.
    """
    voice = (voice or paper_voice()).about(job)
    parts: dict[str, bytes] = {
        "job-sheet.pdf": job_sheet(job, result, facts=facts, paper=paper, voice=voice),
        JOB: job_to_json(job).encode(),
        RESULT: result_to_json(result).encode(),
        README: _readme(job, facts, voice).encode(),
    }
    elsewhere = _enclose(kept, parts)
    parts[MANIFEST] = _manifest(parts, elsewhere, job, result, facts)
    return _zipped(parts)


def _enclose(kept: Sequence[Kept], parts: dict[str, bytes]) -> list[dict[str, str]]:
    """Put what is here among the parts; what the shop keeps elsewhere is named by its hash."""
    elsewhere = []
    for one in kept:
        if one.content is None:
            elsewhere.append({"name": one.name, "sha256": one.sha256, "media": one.media})
            continue
        if digest(one.content) != one.sha256:
            raise InputError("attachment", one.name, Message("records.recorded-hash", hash=one.sha256))
        parts[_free_name(one.name, parts)] = one.content
    return elsewhere


def _manifest(
    parts: dict[str, bytes], elsewhere: list[dict[str, str]], job: Job, result: Result, facts: SheetFacts
) -> bytes:
    manifest = {
        "format": FORMAT,
        "job": facts.number or job.id,
        "version": facts.version,
        "record": facts.record_hash,
        "program": result.program,
        "files": [
            {"name": name, "sha256": digest(data), "bytes": len(data)} for name, data in sorted(parts.items())
        ],
        "kept_by_the_shop": elsewhere,
    }
    return json.dumps(manifest, ensure_ascii=False, indent=1).encode()


def digest(data: bytes) -> str:
    """SHA-256 in hexadecimal digits."""
    return hashlib.sha256(data).hexdigest()


def _zipped(parts: dict[str, bytes]) -> bytes:
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in sorted(parts.items()):
            info = zipfile.ZipInfo(name, LONG_AGO)
            info.compress_type = zipfile.ZIP_DEFLATED
            info.external_attr = 0o644 << 16
            info.create_system = 3  # the same on every system, else the bytes differ
            archive.writestr(info, data)
    return held.getvalue()


def _free_name(name: str, taken: dict[str, bytes]) -> str:
    """A plain file name under attachments/, whatever the phone called it, and never the same twice."""
    plain = re.sub(r"[^A-Za-z0-9._-]+", "-", name).strip("-.")[-80:] or "attachment"
    free, n = f"attachments/{plain}", 1
    while free in taken:
        n += 1
        free = f"attachments/{n}-{plain}"
    return free


def _readme(job: Job, facts: SheetFacts, voice: Voice) -> str:
    title = voice.say("sealed.readme-title", number=facts.number or job.id)
    said = [voice.say(f"sealed.readme-{key}") for key in ("what", "check", "again", "seal", "missing")]
    return "\n\n".join([title, *said]) + "\n"
