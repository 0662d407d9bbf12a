"""Select the rules that speak of a part on a machine in a market."""

from collections.abc import Mapping
from types import MappingProxyType

from snath.quantities.errors import InputError
from snath.rules.book import Rule, Scope
from snath.rules.load import nearest
from snath.rules.scope import months_of, use_word

NO_SIZES: Mapping[str, float] = MappingProxyType({})
SAME = 1e-9  # of a size: what differs by less is the same figure in another unit


def applicable(
    rules: tuple[Rule, ...],
    *,
    machine_kind: str,
    member_kind: str,
    use: str = "",
    product: str = "",
    market: str = "",
    made: int | str | None = None,
    marked_class: str = "",
    sizes: Mapping[str, float] = NO_SIZES,
    explaining: bool = False,
) -> tuple[Rule, ...]:
    """The rows whose scope holds this member, in the book's order.

    Parameters
    ----------
    rules : tuple of Rule
        The book, a shop's own rows included.
    machine_kind, member_kind, use, product, market : str
        Scope words. What is not known is given as "" and does not narrow: all rows that could hold do.
    made : int, str or None
        Year of make, or its month as "1982-07"; None does not narrow, and a year narrows by what all of it is out of.
    marked_class : str
        What the part is marked ("80 m/s", "G2"). Rows for a class never hold for a part without the mark.
    sizes : mapping
        What is known of the machine's `scope.SIZES`. [SI]
    explaining : bool
        True adds the rows that explain and never bind: historical ones, rules of thumb.

    Returns
    -------
    tuple of Rule
        With `explaining` False, only rows a verdict may rest on.
    """
    return tuple(
        rule
        for rule in rules
        if (rule.binds or explaining)
        and _holds(machine_kind, rule.scope.machines)
        and _holds(member_kind, rule.scope.members)
        and _holds(use_word(use), tuple(map(use_word, rule.scope.uses)))
        and _holds(product, rule.scope.products)
        and (_holds(market, rule.scope.markets) or _holds(market.partition("/")[0], rule.scope.markets))
        and (not rule.scope.classes or marked_class in rule.scope.classes)
        and _made_within(made, rule.scope)
        and _of_size(sizes, rule.scope)
    )


def _holds(word: str, scope: tuple[str, ...]) -> bool:
    return not word or not scope or word in scope


def _made_within(made: int | str | None, scope: Scope) -> bool:
    """Whether it may have been made while the rule spoke: a year is out only where all of it is."""
    if made is None:
        return True
    first, last = months_of(made)
    return (scope.made_from is None or months_of(scope.made_from)[0] <= last) and (
        scope.made_to is None or first <= months_of(scope.made_to)[1]
    )


def _of_size(sizes: Mapping[str, float], scope: Scope) -> bool:
    """Whether no size that is known takes the machine out of the rule."""
    large_enough = all(sizes.get(key, least) >= least * (1 - SAME) for key, least in scope.sizes_from)
    left_out = scope.unless and all(sizes.get(key, 0.0) >= least * (1 - SAME) for key, least in scope.unless)
    return large_enough and not left_out


def rule_by_id(rules: tuple[Rule, ...], id: str) -> Rule:
    """The row of that id; InputError names the nearest ids."""
    for rule in rules:
        if rule.id == id:
            return rule
    raise InputError("rule", id, nearest(id, {rule.id for rule in rules}))
