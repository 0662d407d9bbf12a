"""A job of years ago worked again: what is different now, and is it the program or the rules that moved?"""

from dataclasses import dataclass, replace
from typing import Any

from snath.decisions.job.job import Job
from snath.decisions.job.schema import differences, result_to_json
from snath.decisions.job.work import work
from snath.rules.book import Rule

Difference = tuple[str, Any, Any]


@dataclass(frozen=True, slots=True)
class Rework:
    """What became of a kept job.

    Attributes
    ----------
    by_program : tuple of (path, then, now)
        Differences with the job's own rows, word for word as kept: only the program can have moved these.
    rules_moved : tuple of str
        Ids of kept rows that today's book has otherwise or no longer.
    by_rules : tuple of (path, then, now)
        What today's rows would change on top.
    now : str
        Today's result with the kept rows, as JSON.
    """

    by_program: tuple[Difference, ...]
    rules_moved: tuple[str, ...]
    by_rules: tuple[Difference, ...]
    now: str


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
    now = result_to_json(work(job))
    today = {rule.id: rule for rule in book}
    moved = tuple(rule.id for rule in job.rules if today.get(rule.id) != rule)
    renewed = tuple(today.get(rule.id, rule) for rule in job.rules)
    by_rules = differences(now, result_to_json(work(replace(job, rules=renewed)))) if moved else ()
    return Rework(differences(then, now), moved, by_rules, now)
