"""Work one machine of a fleet as one row: what it allows, what its last reading says of the speed, when it is due."""

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

from snath.decisions.job.assemble import job_for
from snath.decisions.job.history import speaks_for
from snath.decisions.job.job import Job, Stage
from snath.decisions.job.stage import speed_alone
from snath.decisions.job.window_of import window_alone
from snath.decisions.machine.sheet import read_sheet
from snath.quantities.errors import InputError, InputErrors
from snath.quantities.message import Message
from snath.quantities.numbers import DecimalMark
from snath.rules.book import Rule
from snath.rules.load import shipped_rules, with_shop_rules
from snath.shop.answers.speeds import ceil_rpm, floor_rpm, tenth_rpm
from snath.shop.fleet.machine import USUAL_MONTHS, FleetMachine, Taken, reading_of
from snath.words.render import ENGLISH, Locale, say, say_fault

Row = dict[str, Any]
COLUMNS = {  # name: type in the table
    "place": "string",
    "number": "string",
    "machine": "string",
    "serial": "string",
    "kind": "string",
    "customer": "string",
    "shut": "bool",
    "ceiling_rpm": "double",
    "floor_rpm": "double",
    "set_from_rpm": "double",
    "set_to_rpm": "double",
    "binding": "string",
    "rule": "string",
    "reading_rpm": "double",
    "u_rpm": "double",
    "over": "bool",
    "speed_alone": "string",
    "why": "string",
    "read_on": "string",
    "due_on": "string",
    "due": "bool",
    "error": "string",
}


@dataclass(frozen=True, slots=True)
class Asked:
    """What a fleet is asked by: the shop's own rules as text, the market, today, the usual months, and who reads."""

    today: str
    rules: str = ""
    rules_mark: DecimalMark = "."
    market: str = ""
    months: int = USUAL_MONTHS
    reader: Locale = ENGLISH

    @property
    def book(self) -> tuple[Rule, ...]:
        """The rule book."""
        return _book(self.rules, self.rules_mark)


@dataclass(frozen=True, slots=True)
class Task:
    """One machine to work, and by what; where its last reading stands in a job, with that job."""

    machine: FleetMachine
    asked: Asked
    job: Job | None = None


@lru_cache(maxsize=4)
def _book(rules: str, mark: DecimalMark) -> tuple[Rule, ...]:
    return with_shop_rules(shipped_rules(), rules, decimal_mark=mark) if rules else shipped_rules()


def row_of(task: Task) -> Row:
    """The row of a machine; one that cannot be worked has its reason in place of figures."""
    reader = task.asked.reader
    try:
        return _worked(task.machine, task.asked, task.job)
    except (InputError, InputErrors) as found:
        return _faulty(task, "\n".join(say_fault(fault, reader) for fault in found.faults))
    except Exception as crash:  # one bad machine must never stop the rest
        return _faulty(task, say(Message("batch.crashed", kind=type(crash).__name__, why=str(crash)), reader))


def lost(task: Task) -> Row:
    """The row of a machine that took its worker down with it."""
    return _faulty(task, say(Message("batch.worker-ended"), task.asked.reader))


def _worked(kept: FleetMachine, asked: Asked, read: Job | None) -> Row:
    machine = read.machine if read else read_sheet(kept.sheet, decimal_mark=kept.mark)
    taken = _of_job(read) if read else reading_of(machine, kept)
    market, only = (read.market, read.only_rule or None) if read else (asked.market, None)
    job = job_for(machine, asked.book, market=market, only=only)
    window = window_alone(job)
    row = blank(kept, asked) | {
        "machine": machine.name,
        "serial": machine.serial,
        "kind": machine.kind,
        "shut": window.shut,
        "ceiling_rpm": floor_rpm(window.ceiling),
        "floor_rpm": ceil_rpm(window.floor),
        "set_from_rpm": ceil_rpm(window.set_low),
        "set_to_rpm": None if window.set_low is None else floor_rpm(window.set_high),
        "binding": window.binding,
        "rule": window.binding_rule,
    }
    if taken is None:
        return row
    readings, tools = taken
    told = speaks_for(readings)
    verdict = speed_alone(replace(job, as_found=Stage(readings), instruments=tools, judged_on=asked.today))
    if verdict is None or told is None or told.value is None:
        return row
    return row | {
        "reading_rpm": tenth_rpm(told.value.value),
        "u_rpm": tenth_rpm(told.value.u),
        "over": verdict.limits == "over",
        "speed_alone": verdict.word,
        "why": "; ".join(say(reason, asked.reader) for reason in verdict.reasons),
    }


def _of_job(job: Job) -> Taken | None:
    """The readings of a job as it was left, else as it was found, unless another drive was on it then."""
    if job.as_left.readings:
        return job.as_left.readings, job.instruments
    return (
        (job.as_found.readings, job.instruments) if job.as_found.readings and not job.drive_before else None
    )


def blank(kept: FleetMachine, asked: Asked) -> Row:
    """The row of a machine before it is worked."""
    due_on = kept.due(asked.months)
    return dict.fromkeys(COLUMNS) | {
        "place": kept.place,
        "number": kept.number,
        "machine": "",
        "serial": "",
        "kind": "",
        "customer": kept.customer,
        "binding": "",
        "rule": "",
        "speed_alone": "",
        "why": "",
        "read_on": kept.read_on,
        "due_on": due_on,
        "due": due_on <= asked.today,
    }


def _faulty(task: Task, why: str) -> Row:
    return blank(task.machine, task.asked) | {"error": why}
