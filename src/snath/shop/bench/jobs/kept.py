"""A job as it stands, and how a change to it becomes its next version."""

from collections.abc import Callable, Hashable, Sequence
from dataclasses import asdict, dataclass, field, replace
from datetime import datetime
from functools import lru_cache
from importlib.metadata import version as installed_version
from typing import Any, TypeVar
from uuid import UUID

from django.db.models import F
from django.http import Http404
from django.utils import timezone

from snath.decisions.job.job import Job
from snath.decisions.job.result import Result
from snath.decisions.job.schema import job_from_json, job_to_json, result_to_json
from snath.decisions.job.stands import JobVerdict
from snath.decisions.job.work import work
from snath.decisions.verdict.verdict import Verdict
from snath.quantities.errors import InputError, InputErrors
from snath.shop.bench.preferences import Preferences
from snath.shop.records.facts import facts_of
from snath.shop.records.jobs import JobRecord, JobVersion, Waits
from snath.shop.records.people import Person
from snath.shop.records.store import DamagedVersion, save_version
from snath.shop.records.unchanged import unchanged

MOST_PARTS = 100  # of pages, kept of one version
AT_ONCE = 20  # jobs of an older program worked again for one list
NEWEST = (  # of every job; put together once, because that costs a third of asking
    JobVersion.objects.filter(version=F("job__version"))
    .select_related("job__machine", "job__customer")
    .defer("result_json")
)
NOT_DONE = ("", "not adjustable here")
Made = TypeVar("Made")


@dataclass(frozen=True, slots=True)
class Worked:
    """A job and its result, and what pages have made of the two: nothing else, and nothing of a person."""

    job: Job
    result: Result
    parts: dict[tuple[object, ...], Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class OpenJob:
    """A job record with its newest version, read and worked out."""

    record: JobRecord
    version: JobVersion
    worked: Worked

    @property
    def job(self) -> Job:
        """The job as it was saved."""
        return self.worked.job

    @property
    def result(self) -> Result:
        """What the program as it is now works out of it."""
        return self.worked.result

    def kept(self, name: Hashable, preferences: Preferences, make: Callable[[], Made]) -> Made:
        """A part of a page, made once for this version, language and units and kept with what was worked out.

        Whoever asks has been let in already, and the version has just been read: only then is there anything to
        ask. What is made may depend on the job, its number, the preferences and what stands in its name, and on nothing
        else.
        """
        key = (
            name,
            str(self.record.number),
            preferences.language,
            preferences.units,
            preferences.decimal_mark,
        )
        parts = self.worked.parts
        if key not in parts:
            if len(parts) >= MOST_PARTS:
                parts.clear()
            parts[key] = make()
        return parts[key]  # type: ignore[no-any-return]

    @property
    def stands(self) -> JobVerdict:
        """What the job as a whole says: the word every page shows."""
        return self.result.stands

    @property
    def verdict(self) -> Verdict | None:
        """What the readings say that count now: as left where it was read, else as found."""
        return self.result.as_left.stands or self.result.as_found.stands


def newest(number: int) -> OpenJob:
    """The job of that number as last saved."""
    kept = unchanged(("job", number), lambda: next(iter(NEWEST.filter(job__number=number)), None))
    if kept is None:
        raise Http404
    return _opened(kept.job, kept)


def at_version(record: JobRecord, version: int) -> OpenJob:
    """The job as it stood at one of its versions, worked out by the program as it is now."""
    kept = record.versions.filter(version=version).first()
    if kept is None:
        raise Http404
    return _opened(record, kept)


def _opened(record: JobRecord, kept: JobVersion) -> OpenJob:
    try:
        return OpenJob(record, kept, worked_out(kept.job_json))
    except (InputError, InputErrors) as fault:
        raise DamagedVersion(f"job {record.number}, version {kept.version}") from fault


def as_now(records: Sequence[JobRecord]) -> dict[UUID, JobVerdict]:
    """What blocked jobs and jobs of an older program stand at now, worked out again; the latter's rows are renewed.

    At most `AT_ONCE` of an older program: the others keep saying that they are to be worked again.
    """
    old = [record for record in records if record.stale][:AT_ONCE]
    asked = {record.pk: record for record in (*old, *(r for r in records if r.verdict == "blocked"))}
    kept = JobVersion.objects.filter(job__in=asked, version=F("job__version"))
    found = {}
    for version in kept:
        record = asked[version.job_id]
        try:
            worked = worked_out(version.job_json)
        except (InputError, InputErrors):  # its own page says that it is damaged
            continue
        found[record.pk] = worked.result.stands
        if record.stale:
            _renew(record, version, worked)
    return found


def _renew(record: JobRecord, version: JobVersion, worked: Worked) -> None:
    """Bring the columns of a list up to date; the version itself stays as it was kept."""
    columns = asdict(facts_of(version.job_json, result_to_json(worked.result)))
    columns["worked_by"] = installed_version("snath")
    columns["waits_for"] = record.held_for or waits_for(
        worked.job, worked.result, record.waits_for == Waits.NOTHING
    )
    for column, value in columns.items():
        setattr(record, column, value)
    JobRecord.objects.filter(pk=record.pk, version=version.version).update(**columns)


@lru_cache(maxsize=64)
def worked_out(job_json: str) -> Worked:
    """The job and its result; the same text gives the same answer, so it is worked out once."""
    job = job_from_json(job_json)
    return Worked(job, work(job))


def keep(
    record: JobRecord,
    job: Job,
    *,
    base: int,
    who: Person,
    note: str,
    settled: bool = False,
    at: datetime | None = None,
) -> JobVersion:
    """Save the job as its next version, now or `at`; the store raises Conflict when `base` is no longer the newest."""
    job = replace(job, id=str(record.pk), judged_on=timezone.localdate(at).isoformat())
    text = job_to_json(job)
    result = worked_out(text).result
    return save_version(
        record,
        text,
        result_to_json(result),
        base,
        who,
        note=note,
        waits_for=waits_for(job, result, settled),
        at=at,
    )


def countersigned(job: Job) -> bool:
    """Whether somebody has put their name under it: with that it is done."""
    return bool(dict(job.facts).get("countersigned_by"))


def waits_for(job: Job, result: Result, settled: bool) -> str:
    """What a job waits for: a repair, a part, a reading, a check of the machine, its signature, then nothing."""
    if settled:
        return Waits.NOTHING
    if job.outcome not in NOT_DONE:
        return Waits.SIGNATURE
    if result.stands.word == "blocked":
        return Waits.REPAIR
    if not result.window.feasible or result.window.setting == "stop":
        return Waits.PART
    if result.stands.by == "not checked":
        return Waits.CHECK
    return Waits.SIGNATURE if result.stands.word == "pass" else Waits.READING
