"""Know the causes of doubt that earlier versions kept as text, so that no verdict looks at a sentence."""

import re
from collections.abc import Callable
from dataclasses import replace
from typing import get_args

from snath.decisions.job.job import Job, Stage
from snath.decisions.machine.parts import Condition
from snath.decisions.reading.compared import BIAS
from snath.decisions.reading.reading import Reading
from snath.quantities.measured import Line
from snath.quantities.message import Message, term

TAKEN = rf"(?P<shaft>.*), (?P<condition>{'|'.join(get_args(Condition))}), (?P<at>[^,]*)"
Groups = dict[str, str]


def _of_reading(found: Groups) -> dict[str, Message | str]:
    return {**found, "condition": term("condition", found["condition"])}


# How versions before 2026-12 spelt what one reading, one instrument or the shop's phone brings, and its code now.
SPELT: tuple[tuple[str, Callable[[Groups], Message]], ...] = (
    (
        rf"scatter of (?P<count>\d+) readings, {TAKEN}",
        lambda g: Message("budget.scatter", **(_of_reading(g) | {"count": int(g["count"])})),
    ),
    (
        rf"scatter of (?P<count>\d+) runs, {TAKEN}",
        lambda g: Message("budget.runs", **(_of_reading(g) | {"count": int(g["count"])})),
    ),
    (rf"stated by the reader, {TAKEN}", lambda g: Message("budget.stated", **_of_reading(g))),
    (r"(?P<instrument>.+): accuracy", lambda g: Message("budget.accuracy", instrument=g["instrument"])),
    (r"(?P<instrument>.+): resolution", lambda g: Message("budget.resolution", instrument=g["instrument"])),
    (
        r"(?P<instrument>.+): check against a reference",
        lambda g: Message("budget.check", instrument=g["instrument"]),
    ),
    (
        r"(?P<instrument>.+): accuracy, times (?P<gain>[\d.]+)",
        lambda g: Message("budget.flash-accuracy", instrument=g["instrument"], gain=float(g["gain"])),
    ),
    ("phone clock", lambda _: Message("budget.clock")),
    ("mean difference from the tachometer in this shop's comparisons", lambda _: BIAS),
)


def with_causes(job: Job) -> Job:
    """The job with the causes of its readings' doubts by code, where an earlier version kept text."""
    return replace(job, as_found=_stage(job.as_found), as_left=_stage(job.as_left))


def _stage(stage: Stage) -> Stage:
    return replace(stage, readings=tuple(_reading(one) for one in stage.readings))


def _reading(reading: Reading) -> Reading:
    if reading.value is None:
        return reading
    lines = tuple(_line(line) for line in reading.value.lines)
    return replace(reading, value=replace(reading.value, lines=lines))


def _line(line: Line) -> Line:
    if isinstance(line.source, Message):
        return line
    for spelt, coded in SPELT:
        if found := re.fullmatch(spelt, line.source):
            return replace(line, source=coded(found.groupdict()))
    return line
