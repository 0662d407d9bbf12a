"""A job from a machine and the rule book: copies in every row that speaks of the machine."""

from snath.decisions.job.job import Job
from snath.decisions.machine.parts import Machine
from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.rules.book import Rule
from snath.rules.select import applicable, rule_by_id


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
        Id of the one surface-speed row to use in place of those in scope; a historical one may be named.
    """
    rows = rows_in_scope(machine, book, market)
    if only is not None:
        chosen = rule_by_id(book, only)
        if chosen.kind != "surface speed" or chosen.at_most is None:
            known = tuple(rule.id for rule in book if rule.kind == "surface speed")
            raise InputError("rule", only, Message("job.row-surface", known=known))
        rows = (*(rule for rule in rows if rule.kind != "surface speed"), chosen)
    return Job(machine=machine, rules=rows, market=market, only_rule=only or "")


def rows_in_scope(machine: Machine, book: tuple[Rule, ...], market: str) -> tuple[Rule, ...]:
    """Every row of the book that speaks of some part of this machine, each once."""
    kinds = {member.kind for member in machine.members}
    found = {
        rule.id: rule
        for kind in sorted(kinds)
        for marked_class in ("", *_classes_shown(book, kind))
        for rule in applicable(
            book,
            machine_kind=machine.kind,
            member_kind=kind,
            use=machine.use,
            market=market,
            made=machine.made,
            marked_class=marked_class,
        )
    }
    return tuple(found.values())


def _classes_shown(book: tuple[Rule, ...], kind: str) -> tuple[str, ...]:
    """Classes whose figures a governor is held against, one by one; they bind no window."""
    if kind != "alternator":
        return ()
    return tuple(dict.fromkeys(c for rule in book if kind in rule.scope.members for c in rule.scope.classes))
