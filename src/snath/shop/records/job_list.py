"""Every job as one line of a table that a spreadsheet opens without running anything."""

from collections.abc import Iterator
from functools import partial

from snath.quantities.units import show
from snath.shop.records.jobs import JobRecord
from snath.shop.tables.harmless import csv_line

HEAD = (
    "job",
    "opened",
    "changed",
    "machine",
    "serial",
    "customer",
    "waits for",
    "verdict",
    "as found rpm",
    "as left rpm",
    "ceiling rpm",
    "target rpm",
    "versions",
    "record",
)
STEP = 500


def csv_of_jobs() -> Iterator[str]:
    """The table, a line at a time, headed by the names of its columns."""
    yield csv_line(HEAD)
    jobs = JobRecord.objects.select_related("machine", "customer").order_by("number")
    group = list(jobs[:STEP])
    while group:
        yield from (csv_line(_cells(job)) for job in group)
        group = list(jobs.filter(number__gt=group[-1].number)[:STEP])


def _cells(job: JobRecord) -> tuple[str, ...]:
    return (
        str(job.number),
        job.opened_at.date().isoformat(),
        job.changed_at.date().isoformat(),
        job.machine.name if job.machine else job.title,
        job.machine.serial if job.machine else "",
        job.customer.name if job.customer else "",
        job.get_waits_for_display(),
        "" if job.stale else job.verdict,
        _rpm(job.as_found_rev_s),
        _rpm(job.as_left_rev_s),
        _rpm(job.ceiling, down=True),
        _rpm(job.target_rev_s),
        str(job.version),
        str(job.pk),
    )


def _rpm(speed: float | None, *, down: bool = False) -> str:
    if speed is None:
        return ""
    plain = partial(show, speed, "rpm", digits=0, group=False)
    return (plain(round="down") if down else plain()).removesuffix(" rpm")
