"""Chain the versions: each hash covers its own text and the hash of the one saved before.

The hash is SHA-256 over length-prefixed fields, so that no text can be shifted from one field into
the next without a trace. Whoever notes the newest hash on paper can also tell whether the end of
the chain was cut off later.
"""

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime

from django.core.exceptions import ObjectDoesNotExist

from snath.shop.records.jobs import ChainHead, JobVersion
from snath.shop.records.readable import UNREADABLE, Damaged, readable


@dataclass(frozen=True, slots=True)
class Break:
    """One place where the chain does not hold."""

    sequence: int
    what: str


def moment(at: datetime) -> str:
    """A time as text, the same on every database: UTC, microseconds."""
    return at.astimezone(UTC).isoformat(timespec="microseconds")


def hash_of(version: JobVersion) -> str:
    """SHA-256 over everything this version says, and over the hash before it."""
    return sealed(
        version.prev_hash,
        str(version.sequence),
        str(version.job_id),
        str(version.version),
        version.job_json,
        version.result_json,
        version.program,
        version.who,
        moment(version.at),
        version.note,
    )


def sealed(*parts: str) -> str:
    """SHA-256 over texts, each preceded by its length."""
    digest = hashlib.sha256()
    for part in parts:
        data = part.encode()
        digest.update(len(data).to_bytes(8, "big"))
        digest.update(data)
    return digest.hexdigest()


def verify_chain(using: str = "default") -> tuple[Break, ...]:
    """Every version that was changed, is missing or does not follow the one before; empty when whole."""
    return tuple(_breaks(using))


def _breaks(using: str) -> Iterator[Break]:
    expected, before = 1, ""
    for version in readable(JobVersion, using):
        if isinstance(version, Damaged):
            yield Break(expected, f"a version here cannot be read ({version.key}: {version.what})")
            continue
        assert isinstance(version, JobVersion)
        if version.sequence != expected:
            yield Break(expected, f"versions {expected} to {version.sequence - 1} are missing")
        if version.prev_hash != before:
            yield Break(version.sequence, "does not follow the version saved before it")
        if version.hash != hash_of(version):
            yield Break(version.sequence, f"{_name_of(version)} was changed after it was saved")
        expected, before = version.sequence + 1, version.hash
    head = ChainHead.objects.using(using).first()
    if (head.sequence, head.hash) != (expected - 1, before) if head else expected != 1:
        yield Break(expected, "the newest versions are missing")


def _name_of(version: JobVersion) -> str:
    """The version by its job's number, or, where that row cannot be read, by its key."""
    try:
        return str(version)
    except (*UNREADABLE, ObjectDoesNotExist):
        return f"version {version.version} of the job with key {version.job_id}"
