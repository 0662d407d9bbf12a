"""Which rules speak of this part on this machine, in this market?"""

from dataclasses import dataclass

from snath.quantities.errors import InputError
from snath.rules.book import Rule, RuleKind
from snath.rules.load import nearest
from snath.rules.scope import MARKETS


@dataclass(frozen=True, slots=True)
class Choice:
    """The rule a quick answer rests on, and how it came to be chosen."""

    rule: Rule
    why: str


def applicable(
    rules: tuple[Rule, ...],
    *,
    machine_kind: str,
    member_kind: str,
    use: str = "",
    market: str = "",
    made: int | None = None,
    marked_class: str = "",
    explaining: bool = False,
) -> tuple[Rule, ...]:
    """The rows whose scope holds this member, in the book's order.

    Parameters
    ----------
    rules : tuple of Rule
        The book, a shop's own rows included.
    machine_kind, member_kind, use, market : str
        Scope words. What is not known is given as "" and does not narrow: all rows that could hold do.
    made : int or None
        Year of make; None does not narrow.
    marked_class : str
        What the part is marked ("80 m/s", "G2"). Rows for a class never hold for a part without the mark.
    explaining : bool
        True adds the rows that explain and never bind: historical ones, rules of thumb.

    Returns
    -------
    tuple of Rule
        With `explaining` False, only rows a verdict may rest on.
    """
    words = (
        ("machines", machine_kind),
        ("members", member_kind),
        ("uses", use),
        ("markets", market),
    )
    found = []
    for rule in rules:
        scope = rule.scope
        if not (rule.binds or explaining):
            continue
        if any(word and getattr(scope, key) and word not in getattr(scope, key) for key, word in words):
            continue
        if scope.classes and marked_class not in scope.classes:
            continue
        if made is not None and not (scope.made_from or made) <= made <= (scope.made_to or made):
            continue
        found.append(rule)
    return tuple(found)


def strictest(rules: tuple[Rule, ...], *, kind: RuleKind) -> Rule | None:
    """The row of that kind with the lowest ceiling; the first of equals; None where no row has one."""
    ceilings = [rule for rule in rules if rule.kind == kind and rule.at_most is not None and rule.binds]
    return min(ceilings, key=lambda rule: rule.at_most or 0.0, default=None)


def choose(
    rules: tuple[Rule, ...],
    *,
    kind: RuleKind,
    machine_kind: str,
    member_kind: str,
    use: str = "",
    market: str = "",
    made: int | None = None,
) -> Choice:
    """The one rule for a quick answer: the strictest in scope, with how to choose another.

    Raises
    ------
    InputError
        When no row of that kind holds for such a machine.
    """
    held = applicable(
        rules, machine_kind=machine_kind, member_kind=member_kind, use=use, market=market, made=made
    )
    rule = strictest(held, kind=kind)
    if rule is None:
        say = f"has no rule on {kind} of a {member_kind} in the book: give --rule, or add the maker's limit"
        raise InputError("machine", machine_kind, say)
    if market:
        return Choice(rule, f"{rule.id}: strictest in force for market {market}. Another: --rule ID.")
    why = f"{rule.id}: market not set, so the strictest in force. Set the market once"
    return Choice(rule, f"{why} ({', '.join(MARKETS)}), or choose with --rule ID.")


def rule_by_id(rules: tuple[Rule, ...], id: str) -> Rule:
    """The row of that id; InputError names the nearest ids."""
    for rule in rules:
        if rule.id == id:
            return rule
    raise InputError("rule", id, nearest(id, {rule.id for rule in rules}))
