"""Say of each reading which setting it belongs to, and which one speaks for its stage on a surface."""

from collections.abc import Sequence
from dataclasses import dataclass

from snath.decisions.behaviour.asked import StageName
from snath.decisions.behaviour.governor import GovernorResult
from snath.decisions.job.job import Job
from snath.decisions.job.result import Result
from snath.decisions.machine.parts import CRANKSHAFT
from snath.decisions.reading.reading import Reading
from snath.decisions.verdict.settings import Setting, settings
from snath.decisions.verdict.verdict import Verdict


@dataclass(frozen=True, slots=True)
class Told:
    """One reading in the history of its stage.

    Attributes
    ----------
    reading : Reading
    verdict : Verdict
        What it says alone.
    setting : int
        Which setting of its stage it belongs to, from 1; 0 where it is withdrawn.
    stands : bool
        Whether it belongs to the last setting, the one that counts.
    """

    reading: Reading
    verdict: Verdict
    setting: int
    stands: bool


def histories(job: Job, result: Result) -> dict[StageName, tuple[Told, ...]]:
    """Every reading of both stages, in its order."""
    before = same_machine_found(job, result.behaviour.governor_found)
    return {
        "as found": _told(job.as_found.readings, result.as_found.verdicts, ()),
        "as left": _told(job.as_left.readings, result.as_left.verdicts, before),
    }


def speaks_for(readings: Sequence[Reading]) -> Reading | None:
    """The reading whose figure stands for a stage: the last decided one of the last setting, the crankshaft's first."""
    kept = settings(readings)
    if not kept:
        return None
    decided = [one for one in kept[-1] if one.value is not None]
    at_crank = [one for one in decided if one.shaft == CRANKSHAFT]
    return (at_crank or decided or list(kept[-1]))[-1]


def same_machine_found(job: Job, governor: GovernorResult | None) -> Setting:
    """The last setting as found, where it is of the machine as left: no drive exchanged, no hunting put right."""
    found = settings(job.as_found.readings)
    if job.drive_before or not found or (governor is not None and governor.hunts):
        return ()
    return () if any(reading.hunting is not None for reading in found[-1]) else found[-1]


def _told(readings: Sequence[Reading], verdicts: Sequence[Verdict], before: Setting) -> tuple[Told, ...]:
    kept = settings(readings, before=before)
    own = [part[len(before) :] if part[: len(before)] == before else part for part in kept]
    numbers = [number for number, part in enumerate((part for part in own if part), start=1) for _ in part]
    counted = iter(numbers)
    found = []
    for reading, verdict in zip(readings, verdicts, strict=True):
        number = 0 if reading.withdrawn is not None else next(counted)
        found.append(Told(reading, verdict, number, number > 0 and number == numbers[-1]))
    return tuple(found)
