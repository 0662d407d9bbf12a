"""A job from a machine and the rule book: copies in every row that speaks of the machine."""

from snath.decisions.job.job import Job
from snath.decisions.machine.parts import Machine
from snath.decisions.machine.rows import rows_for
from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.rules.book import Rule
from snath.rules.select import rule_by_id


def job_for(machine: Machine, book: tuple[Rule, ...], *, market: str = "", only: str | None = None) -> Job:
    """A job without readings.

    Parameters
    ----------
    machine : Machine
        The machine as it stands.
    book : tuple of Rule
        Shipped rows with the shop's own merged in.
    market : str
        Where the machine is used; empty takes the strictest row of any market.
    only : str or None
        Id of the surface-speed row to use in place of those in scope; a historical one may be named.

    Raises
    ------
    InputError
        If the chosen row does not speak of this machine, with those that do.
    """
    rows = rows_in_scope(machine, book, market)
    if only is not None:
        rows = tuple(dict.fromkeys((*rows, _chosen(machine, book, market, only))))
    return Job(machine=machine, rules=rows, market=market, only_rule=only or "")


def _chosen(machine: Machine, book: tuple[Rule, ...], market: str, only: str) -> Rule:
    """The row chosen by hand; refused unless it limits a surface speed of some member of this very machine."""
    wanted = rule_by_id(book, only)
    fitting = {
        rule.id: rule
        for member in machine.members
        for rule in rows_for(
            machine, member.kind, book, market=market, marked_class=member.marked_class, explaining=True
        )
        if rule.kind == "surface speed" and rule.at_most is not None
    }
    if wanted.id in fitting:
        return wanted
    known = tuple(fitting)
    raise InputError(
        "rule", only, Message("job.row-fits", known=known) if known else Message("job.row-none-fits")
    )


def rows_in_scope(machine: Machine, book: tuple[Rule, ...], market: str) -> tuple[Rule, ...]:
    """Every row of the book that speaks of some part of this machine, each once."""
    marks = {
        (member.kind, marked)
        for member in machine.members
        for marked in ("", member.marked_class, *_classes_shown(book, member.kind))
    }
    found = {
        rule.id: rule
        for kind, marked in sorted(marks)
        for rule in rows_for(machine, kind, book, market=market, marked_class=marked)
    }
    return tuple(found.values())


def _classes_shown(book: tuple[Rule, ...], kind: str) -> tuple[str, ...]:
    """Classes whose figures a governor is held against, one by one; they bind no window."""
    if kind != "alternator":
        return ()
    return tuple(dict.fromkeys(c for rule in book if kind in rule.scope.members for c in rule.scope.classes))
