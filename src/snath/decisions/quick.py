"""Answer the quick ask: the ceiling of one blade, on the crankshaft or behind one ratio."""

from dataclasses import dataclass, replace

from snath.decisions.machine.parts import CRANKSHAFT, Coupling, Engine, Machine, Member, Ratio, Size
from snath.decisions.machine.rows import rows_to_judge_by, rows_told
from snath.decisions.machine.taken import taken_notes
from snath.decisions.window.limits import limits_of
from snath.decisions.window.solve import USUAL_DECISION, SettingNeeds, solve
from snath.decisions.window.window import Window
from snath.quantities.measured import Measured
from snath.quantities.message import Message
from snath.rules.book import Rule
from snath.rules.select import rule_by_id

NAME, BLADE = "quick ask", "blade"
SPINDLE = "spindle"
USUAL_KIND = "walk-behind rotary mower"
GIVEN = "as given"


@dataclass(frozen=True, slots=True)
class QuickAnswer:
    """The ceiling of one blade: the machine it was asked of, the row that bound, the window."""

    machine: Machine
    rule: Rule
    window: Window
    notes: tuple[Message, ...]


def quick_limit(
    tip_circle: Measured,
    book: tuple[Rule, ...],
    *,
    ratio: Measured | None = None,
    market: str = "",
    only: str | None = None,
    metric: bool = False,
) -> QuickAnswer:
    """The ceiling of one blade.

    Parameters
    ----------
    tip_circle : Measured
        Diameter the tips run on. [m]
    book : tuple of Rule
        The rule book.
    ratio : Measured or None
        Blade speed over engine speed; None where the blade sits on the crankshaft.
    market, only
        As in `rows_to_judge_by`.
    metric : bool
        Whether the working is written in metric lengths.

    Raises
    ------
    InputError
        If the chosen row speaks of no blade, or not in this market.

    Notes
    -----
    The machine is a walk-behind for home use, unless a row is chosen: then it is one that row speaks of.
    """
    shaft = CRANKSHAFT if ratio is None else SPINDLE
    couplings = () if ratio is None else (_behind(ratio),)
    blade = Member(BLADE, shaft, "blade", (Size("", tip_circle),))
    machine = Machine(NAME, USUAL_KIND, Engine(), couplings, (blade,), metric=metric)
    return quick_answer(machine, book, market=market, only=only)


def quick_answer(
    machine: Machine,
    book: tuple[Rule, ...],
    *,
    market: str = "",
    only: str | None = None,
) -> QuickAnswer:
    """The ceiling of a machine of one blade, as one of those the chosen row speaks of.

    Parameters
    ----------
    machine, book, market, only, decimal_mark
        As in `quick_limit`.

    Raises
    ------
    InputError
        If the chosen row speaks of no blade, or not in this market.
    """
    machine, chosen = _spoken_of(machine, book, only), only or ""
    rows = rows_to_judge_by(machine, book, market=market, only=only)
    limits = limits_of(machine, rows, market=market, only=chosen)
    window = solve(machine, limits, decision=USUAL_DECISION, needs=SettingNeeds())
    rule = next(rule for rule in rows if rule.id == window.binding_rule)
    notes = (*rows_told(rows, market=market, only=chosen), *taken_notes(machine))
    return QuickAnswer(machine, rule, window, notes)


def _spoken_of(machine: Machine, book: tuple[Rule, ...], only: str | None) -> Machine:
    """The machine as one of those the chosen row speaks of."""
    if only is None:
        return machine
    scope = rule_by_id(book, only).scope
    return replace(
        machine,
        kind=(scope.machines or (machine.kind,))[0],
        use=(scope.uses or (machine.use,))[0],
        product=(scope.products or (machine.product,))[0],
    )


def _behind(ratio: Measured) -> Coupling:
    return Coupling(CRANKSHAFT, SPINDLE, (Ratio(GIVEN, ratio),), source=GIVEN, kind="counted", slip_max=None)
