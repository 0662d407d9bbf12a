"""What every page of a job shows: which job it is, how far it has come, and the three figures that count."""

from dataclasses import dataclass, replace
from functools import cache
from typing import Any

from django.http import HttpRequest
from django.urls import reverse
from django.utils import timezone
from django.utils.functional import Promise
from django.utils.translation import gettext, gettext_lazy

from snath.decisions.job.history import speaks_for
from snath.decisions.job.job import Evidence, Job, Stage
from snath.decisions.machine.condition_words import bladed, condition_term
from snath.decisions.machine.parts import Machine
from snath.decisions.reading.reading import Reading
from snath.shop.bench import show
from snath.shop.bench.jobs.kept import OpenJob
from snath.shop.bench.jobs.looked_over import looked_at
from snath.shop.bench.preferences import DecimalMark, Preferences, preferences_of
from snath.shop.bench.words import said

STEPS = (
    ("machine", gettext_lazy("Machine")),
    ("window", gettext_lazy("Allowed")),
    ("reading", gettext_lazy("Reading")),
    ("verdict", gettext_lazy("Verdict")),
    ("sheet", gettext_lazy("Sheet")),
)
OUTCOMES = (
    ("", gettext_lazy("set and read")),
    ("not adjustable here", gettext_lazy("not adjustable here")),
    ("customer declined", gettext_lazy("left as found: customer declined, do not use")),
    ("accident machine: read only", gettext_lazy("accident machine: read only")),
)


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the job as the strip on top shows it; without an address it cannot be taken yet."""

    place: int
    name: str | Promise
    url: str
    here: bool


def steps_of(job: OpenJob | None, here: str) -> list[Step]:
    """The five steps; a verdict needs a reading."""
    return [
        Step(place, name, _address(job, key), key == here) for place, (key, name) in enumerate(STEPS, start=1)
    ]


def _address(job: OpenJob | None, key: str) -> str:
    if job is None or (key == "verdict" and not job.stands.word):
        return ""
    return reverse(f"bench:job-{key}", args=[job.record.number])


def page(request: HttpRequest, job: OpenJob, here: str, **more: Any) -> dict[str, Any]:
    """Context shared by the pages of a job; what costs something is a function, called where it is shown."""
    preferences = preferences_of(request)
    return {
        "job": job,
        "record": job.record,
        "base": job.record.version,
        "here": here,
        "steps": lambda: steps_of(job, here),
        "figures": lambda: job.kept("figures", preferences, lambda: figures(job, preferences)),
        "run_list": cache(lambda: looked_at(job.job)),
        "outcome": dict(OUTCOMES).get(job.job.outcome, job.job.outcome) if job.job.outcome else "",
        "bladeless": not bladed(job.job.machine),
        "kept": request.GET.get("kept", "")[:120],
        **more,
    }


@dataclass(frozen=True, slots=True)
class Figures:
    """Never above, set to, you have; each may be unknown."""

    never_above: show.Shown | None
    never_while: str
    not_covered: str
    set_to: show.Shown | None
    set_band: str
    set_why: str
    you_have: show.Shown | None
    you_have_doubt: show.Shown | None
    you_have_where: str
    stop: bool
    shut: bool


def figures(job: OpenJob, preferences: Preferences) -> Figures:
    """The three figures of a job in this person's words."""
    window = job.result.window
    reading = last_reading(job.job)
    low, high = window.set_low, window.set_high
    band = (
        gettext("set between %(low)s and %(high)s")
        % {
            "low": show.speed(low, preferences, round="up"),
            "high": show.speed(high, preferences, round="down"),
        }
        if low is not None and high is not None
        else ""
    )
    return Figures(
        never_above=show.speed(window.ceiling, preferences, round="down"),
        never_while=gettext("engine, nothing being cut, throttle on its stop")
        if bladed(job.job.machine)
        else gettext("engine, no load, throttle on its stop"),
        not_covered=", ".join(window.uncovered),
        set_to=show.speed(window.target, preferences),
        set_band=band,
        set_why=_why_no_target(job, preferences.decimal_mark),
        you_have=show.speed(reading.value.value, preferences) if reading and reading.value else None,
        you_have_doubt=show.spread(reading.doubt, preferences) if reading else None,
        you_have_where=_where_now(job.job, reading) if reading else "",
        stop=window.setting in ("stop", "blocked"),
        shut=window.shut,
    )


def _why_no_target(job: OpenJob, mark: DecimalMark) -> str:
    setting = job.result.window.setting
    if setting == "stop":
        return (
            gettext(
                "Stop: the maker's figure lies outside what is allowed. Check blade, pulleys, engine code and the "
                "manual's edition."
            )
            if bladed(job.job.machine)
            else gettext(
                "Stop: the maker's figure lies outside what is allowed. Check the parts on it, pulleys, engine code "
                "and the manual's edition."
            )
        )
    if setting == "blocked":
        faults = "; ".join(said(fault, mark) for fault in job.stands.blocked_by)
        return gettext("Nothing: a check blocks this machine. %(faults)s") % {"faults": faults}
    if job.job.machine.engine.maker_no_load is None:
        return gettext("Not known: the machine maker's no-load figure is missing. The ceiling is no target.")
    return gettext("Not known: the maker's figure does not settle it, see below. The ceiling is no target.")


def last_reading(job: Job) -> Reading | None:
    """The reading that speaks for the machine as it is now: as left where it was read, else as found."""
    return speaks_for(job.as_left.readings) or speaks_for(job.as_found.readings)


def where_read(machine: Machine, reading: Reading) -> str:
    """Shaft and condition of a reading."""
    return f"{said(reading.shaft)}, {said(condition_term(machine, reading.condition))}"


def _where_now(job: Job, reading: Reading) -> str:
    """Where the reading that speaks for the machine was taken, and whether with another drive than is on it now."""
    where = where_read(job.machine, reading)
    if job.drive_before and speaks_for(job.as_left.readings) is None:
        return gettext("%(where)s, with the drive it came in with") % {"where": where}
    return where


def now() -> str:
    """This moment as a reading keeps it."""
    return timezone.localtime().isoformat(timespec="seconds")


def with_reading(job: Job, stage: str, reading: Reading) -> Job:
    """The job with one more reading in one of its stages."""
    if stage == "as left":
        return replace(job, as_left=_more(job.as_left, reading))
    return replace(job, as_found=_more(job.as_found, reading))


def after_turning(job: Job, stage: str, turned: str) -> Job:
    """The job with what was turned before the newest reading of a stage: that begins a new setting."""
    key = "as_left" if stage == "as left" else "as_found"
    kept: Stage = getattr(job, key)
    *others, newest = kept.readings
    changed = replace(kept, readings=(*others, replace(newest, turned=turned)))
    return replace(job, as_left=changed) if key == "as_left" else replace(job, as_found=changed)


def with_evidence(job: Job, evidence: Evidence) -> Job:
    """The job with the hash of one more recording, once however many stretches of it were read."""
    if any(one.sha256 == evidence.sha256 for one in job.evidence):
        return job
    return replace(job, evidence=(*job.evidence, evidence))


def _more(stage: Stage, reading: Reading) -> Stage:
    return replace(stage, readings=(*stage.readings, reading))
