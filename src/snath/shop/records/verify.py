"""Check that the records hold what they should, and say what cannot be proved."""

import json
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from typing import Any

from snath.shop.records.attachments import damaged
from snath.shop.records.chain import Break, verify_chain
from snath.shop.records.facts import facts_of
from snath.shop.records.jobs import Attachment, ChainHead, JobRecord, JobVersion
from snath.shop.records.log import LogCheck, changed_rows, rows_noted
from snath.shop.records.readable import UNREADABLE, Damaged, readable

COVERED = (
    "every saved version, in a chain",
    "the bytes of every photo and recording",
    "the list of jobs against their newest versions",
    "the recordings a version names against those of its job",
    "who did what, in a chain",
    "instruments, the shop's own rules, photos, recordings and whose job it is against what was noted of them",
)
NOT_COVERED = (
    "customers, machines, stock, people, the shop's settings, drafts, and single checks of an instrument",
    "what a job waits for, and the list's figures where a newer program worked an old version again",
)
LIMIT = (
    "Whoever can change everything at once can also make new chains: compare the newest hashes with those "
    "noted on paper."
)


@dataclass(frozen=True, slots=True)
class Verified:
    """What was asked and found; everything between `breaks` and `rows` is empty where nothing was changed."""

    versions: int
    newest_hash: str
    newest_log_hash: str
    breaks: tuple[Break, ...]
    spoiled: tuple[str, ...]
    lists: tuple[str, ...]
    evidence: tuple[str, ...]
    log: tuple[Break, ...]
    rows: tuple[str, ...]
    older_entries: int
    older_rows: int

    @property
    def whole(self) -> bool:
        """Whether nothing that was asked was changed."""
        return not (self.breaks or self.spoiled or self.lists or self.evidence or self.log or self.rows)


def verify() -> Verified:
    """Ask all of it."""
    head, log = ChainHead.objects.first(), LogCheck()
    return Verified(
        versions=head.sequence if head else 0,
        newest_hash=head.hash if head else "",
        newest_log_hash=head.log_hash if head else "",
        breaks=verify_chain(),
        spoiled=tuple(str(one.pk) for one in damaged()),
        lists=tuple(_lists()),
        evidence=tuple(_evidence()),
        log=tuple(log.breaks),
        rows=tuple(changed_rows(log)),
        older_entries=log.older,
        older_rows=_older(log),
    )


def _older(log: LogCheck) -> int:
    try:
        return rows_noted(log)[1]
    except UNREADABLE:  # a damaged table is told by the others
        return 0


def _lists() -> Iterator[str]:
    """Columns copied from a job's newest version that are not those of its newest version."""
    for job in _readable(JobRecord):
        newest = _newest(job)
        if newest is None:
            if job.version:
                yield f"job {job.number}: the list says version {job.version}, none is here"
            continue
        wanted = {"version": newest.version, "changed_at": newest.at}
        if job.worked_by in ("", newest.program):  # else a newer program worked them out again
            wanted |= asdict(facts_of(newest.job_json, newest.result_json))
        for column, value in wanted.items():
            if getattr(job, column) != value:
                yield f"job {job.number}: the list's {column} is not that of version {newest.version}"


def _newest(job: JobRecord) -> JobVersion | None:
    try:
        return job.versions.order_by("-version").first()
    except UNREADABLE:  # told by the chain
        return None


def _evidence() -> Iterator[str]:
    """Recordings a version rests on that are not among its job's any more."""
    there = {(row.job_id, row.sha256) for row in _readable(Attachment)}
    told = set()
    for version in _readable(JobVersion):
        for sha256 in _named(version.job_json):
            if (version.job_id, sha256) not in there and (version.job_id, sha256) not in told:
                told.add((version.job_id, sha256))
                yield f"version {version.sequence}: its recording {sha256[:12]} is not on its job any more"


def _named(job_json: str) -> Iterator[str]:
    try:
        data = json.loads(job_json)
    except ValueError:  # told by the chain
        return
    rows = data.get("evidence") if isinstance(data, dict) else None
    for row in rows if isinstance(rows, list) else ():
        if isinstance(row, dict) and isinstance(row.get("sha256"), str) and row["sha256"]:
            yield row["sha256"]


def _readable(model: Any) -> Iterator[Any]:
    return (row for row in readable(model, "default") if not isinstance(row, Damaged))
