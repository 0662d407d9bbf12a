"""Ask the rule book for the rows that speak of one kind of part on a machine."""

from snath.decisions.machine.parts import Machine
from snath.rules.book import Rule
from snath.rules.scope import SIZES, design_of
from snath.rules.select import applicable


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
