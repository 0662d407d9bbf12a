"""What the machine does at its speed: governor, stop, throw and balance of a job, as sections of its pages."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from django.utils.translation import gettext

from snath.quantities.message import Message
from snath.shop.bench.jobs.kept import OpenJob
from snath.shop.bench.liking import Liking
from snath.shop.bench.words import said


@dataclass(frozen=True, slots=True)
class Section:
    """One thing the machine does: its word where there is one, what was found, what would settle it."""

    title: str
    word: str
    lines: list[str]
    settle: list[str]


def does(job: OpenJob, liking: Liking) -> list[Section]:
    """A section for every answer the job holds; hazards are shown and decide nothing."""
    return list(_sections(job, liking))


def _sections(job: OpenJob, liking: Liking) -> Iterator[Section]:
    found = job.result.behaviour
    for title, governor in (
        (gettext("Governor, as found"), found.governor_found),
        (gettext("Governor, as left"), found.governor_left),
    ):
        if governor is not None:
            held = (gettext("It holds its speed: no hunting was found."),) if governor.hunts is False else ()
            yield _section(title, "", (*held, *governor.notes), governor.next_steps, liking)
    if found.stop is not None:
        yield _section(gettext("Stopping"), found.stop.word, found.stop.reasons, found.stop.settle, liking)
    if found.balance is not None:
        yield _section(gettext("Balance"), "", found.balance.notes, (), liking)
    if found.throw is not None:
        yield _section(gettext("What it can throw"), "", found.throw.notes, (), liking)


def _section(
    title: str, word: str, lines: Iterable[Message | str], settle: Iterable[Message], liking: Liking
) -> Section:
    return Section(
        title, word, [said(line, liking) for line in lines], [said(step, liking) for step in settle]
    )
