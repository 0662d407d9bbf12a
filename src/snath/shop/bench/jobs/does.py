"""What the machine does at its speed: governor, stop, throw and balance of a job, as sections of its pages."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from django.utils.translation import gettext

from snath.quantities.message import Message
from snath.shop.bench.jobs.kept import OpenJob
from snath.shop.bench.preferences import Preferences
from snath.shop.bench.words import said


@dataclass(frozen=True, slots=True)
class Section:
    """One thing the machine does: its word where there is one, what was found, what would settle it."""

    title: str
    word: str
    lines: list[str]
    settle: list[str]


def does(job: OpenJob, preferences: Preferences) -> list[Section]:
    """A section for every answer the job holds; hazards are shown and decide nothing."""
    return list(_sections(job, preferences))


def _sections(job: OpenJob, preferences: Preferences) -> Iterator[Section]:
    found = job.result.behaviour
    for title, governor in (
        (gettext("Governor, as found"), found.governor_found),
        (gettext("Governor, as left"), found.governor_left),
    ):
        if governor is not None:
            held = (gettext("It holds its speed: no hunting was found."),) if governor.hunts is False else ()
            yield _section(title, "", (*held, *governor.notes), governor.next_steps, preferences)
    if found.stop is not None:
        yield _section(
            gettext("Stopping"), found.stop.word, found.stop.reasons, found.stop.settle, preferences
        )
    if found.balance is not None:
        yield _section(gettext("Balance"), "", found.balance.notes, (), preferences)
    if found.throw is not None:
        yield _section(gettext("What it can throw"), "", found.throw.notes, (), preferences)


def _section(
    title: str, word: str, lines: Iterable[Message | str], settle: Iterable[Message], preferences: Preferences
) -> Section:
    return Section(
        title, word, [said(line, preferences) for line in lines], [said(step, preferences) for step in settle]
    )
