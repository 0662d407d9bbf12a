"""Ask the rule book for the rows that speak of a machine or of a part on it, and tell how they were picked."""

from collections.abc import Iterator

from snath.decisions.machine.parts import Machine
from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.rules.book import Rule
from snath.rules.scope import SIZES, design_of
from snath.rules.select import applicable, rule_by_id


def rows_for(
    machine: Machine,
    member_kind: str,
    rules: tuple[Rule, ...],
    *,
    market: str,
    marked_class: str = "",
    explaining: bool = False,
) -> tuple[Rule, ...]:
    """The rows whose scope holds this machine and such a part, in the book's order; see `applicable`."""
    known = {name: getattr(machine, name) for name in SIZES}
    return applicable(
        rules,
        machine_kind=machine.kind,
        member_kind=member_kind,
        use=machine.use,
        product=design_of(machine.kind, machine.product),
        market=market,
        made=machine.made,
        marked_class=marked_class,
        sizes={name: size for name, size in known.items() if size is not None},
        explaining=explaining,
    )


def rows_to_judge_by(
    machine: Machine, book: tuple[Rule, ...], *, market: str = "", only: str | None = None
) -> tuple[Rule, ...]:
    """Every row a machine is judged by.

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
    return rows if only is None else tuple(dict.fromkeys((*rows, _chosen(machine, book, market, only))))


def rows_told(rules: tuple[Rule, ...], *, market: str, only: str) -> Iterator[Message]:
    """What to know of the rows a machine was judged by: one chosen by hand, no market, the shop's own."""
    if only:
        yield Message("job.chosen-row", rule=only)
    elif not market:
        yield Message("job.no-market")
    for rule in rules:
        if rule.standing == "shop":
            if rule.overrides:
                yield Message("job.own-row-instead", rule=rule.id, overrides=rule.overrides)
            else:
                yield Message("job.own-row", rule=rule.id)


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
