"""Work a kept job again, and tell what is different now and whether program or rules moved."""

import json
from dataclasses import dataclass, replace
from typing import Any, get_args

from snath.decisions.behaviour.asked import ChecklistInput, StageName
from snath.decisions.behaviour.checklist import RUNS, checks
from snath.decisions.job.job import Job
from snath.decisions.job.schema import differences, result_to_json
from snath.decisions.job.work import work
from snath.decisions.machine.rows import rows_in_scope
from snath.rules.book import Rule

Difference = tuple[str, Any, Any]
LIST = "behaviour.checklist"


@dataclass(frozen=True, slots=True)
class Rework:
    """What became of a kept job, one cause after the other.

    Attributes
    ----------
    by_program : tuple of (path, then, now)
        Differences with the job's own rows, word for word as kept: only the program can have moved these.
    by_checks : tuple of (path, then, now)
        For a job kept before checks counted: what it loses because they do now.
    rules_moved : tuple of str
        Ids of kept rows that today's book has otherwise or no longer.
    by_rules : tuple of (path, then, now)
        What today's wording of the kept rows would change on top.
    rules_new : tuple of Rule
        Rows of today's book that speak of the machine and that the job was kept without.
    by_new_rules : tuple of (path, then, now)
        What these would change on top of that.
    now : str
        Today's result with the kept rows, as JSON.
    """

    by_program: tuple[Difference, ...]
    rules_moved: tuple[str, ...]
    by_rules: tuple[Difference, ...]
    rules_new: tuple[Rule, ...]
    by_new_rules: tuple[Difference, ...]
    now: str
    by_checks: tuple[Difference, ...] = ()

    @property
    def unchanged(self) -> bool:
        """Whether every figure and every word comes out as it was printed, whichever rows are asked."""
        return not (self.by_program or self.by_checks or self.by_rules or self.by_new_rules)


def rework(job: Job, then: str, book: tuple[Rule, ...]) -> Rework:
    """Work a kept job again and say what moved.

    Parameters
    ----------
    job : Job
        As kept.
    then : str
        The result kept beside it, JSON.
    book : tuple of Rule
        Today's rule book.
    """
    today = {rule.id: rule for rule in book}
    moved = tuple(rule.id for rule in job.rules if today.get(rule.id) != rule)
    new = _new_rows(job, book)
    renewed = tuple(today.get(rule.id, rule) for rule in job.rules)
    replaced = {rule.overrides for rule in new}
    widened = (*(rule for rule in renewed if rule.id not in replaced), *new)
    now = result_to_json(work(job))
    as_then = now if _counted_checks(then) else result_to_json(work(_taken_as_checked(job)))
    with_renewed = result_to_json(work(replace(job, rules=renewed))) if moved else now
    with_new = result_to_json(work(replace(job, rules=widened))) if new else with_renewed
    return Rework(
        by_program=differences(
            *((then, now) if _counted_checks(then) else (_unchecked(then), _unchecked(as_then)))
        ),
        by_checks=tuple(row for row in differences(as_then, now) if not row[0].startswith(LIST)),
        rules_moved=moved,
        by_rules=differences(now, with_renewed),
        rules_new=new,
        by_new_rules=differences(with_renewed, with_new),
        now=now,
    )


def _counted_checks(then: str) -> bool:
    """Whether the kept result was worked out by a program that let checks of the machine decide."""
    return "stands" in json.loads(then)


def _taken_as_checked(job: Job) -> Job:
    """The job as it was worked before checks decided: every machine counted as checked, no fault blocked."""
    given = job.behaviour.checklist or ChecklistInput()
    marks = tuple(replace(m, state="open") if m.state == "fault" else m for m in given.marks)
    runs = {check.id for check in checks() if check.when == RUNS}
    kept = tuple(mark for mark in marks if mark.check not in runs)
    ticked = replace(given, marks=kept, in_order=get_args(StageName))
    return replace(job, behaviour=replace(job.behaviour, checklist=ticked))


def _unchecked(result: str) -> str:
    """A result without its list of checks and without the word that follows from it."""
    data = json.loads(result)
    data.pop("stands", None)
    (data.get("behaviour") or {}).pop("checklist", None)
    return json.dumps(data)


def _new_rows(job: Job, book: tuple[Rule, ...]) -> tuple[Rule, ...]:
    """Rows in scope today that are not on the job; a row chosen by hand keeps other surface speeds out."""
    kept = {rule.id for rule in job.rules}
    return tuple(
        rule
        for rule in rows_in_scope(job.machine, book, job.market)
        if rule.id not in kept and not (job.only_rule and rule.kind == "surface speed")
    )
