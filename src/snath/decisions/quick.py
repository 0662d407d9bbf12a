"""The quick ask: one blade on the crankshaft, or behind one ratio; how fast at most?"""

from dataclasses import dataclass

from snath.decisions.job.assemble import job_for
from snath.decisions.job.job import Job
from snath.decisions.job.work import work
from snath.decisions.machine.parts import CRANKSHAFT, Coupling, Engine, Machine, Member, Ratio, Size
from snath.decisions.window.window import Window
from snath.quantities.measured import Measured
from snath.quantities.message import Message
from snath.rules.book import Rule

BLADE = "blade"
SPINDLE = "spindle"


@dataclass(frozen=True, slots=True)
class QuickAnswer:
    """The ceiling of one blade: the job it was asked with, the row that bound, the window."""

    job: Job
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
    machine_kind: str = "walk-behind rotary mower",
    use: str = "consumer",
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
        As in `job_for`.
    machine_kind, use : str
        Scope words of the rule book.
    """
    shaft = CRANKSHAFT if ratio is None else SPINDLE
    couplings = () if ratio is None else (_behind(ratio),)
    blade = Member(BLADE, shaft, "blade", (Size("", tip_circle),))
    machine = Machine("quick ask", machine_kind, Engine(), couplings, (blade,), use)
    job = job_for(machine, book, market=market, only=only)
    result = work(job)
    rule = next(rule for rule in job.rules if rule.id == result.window.binding_rule)
    return QuickAnswer(job, rule, result.window, result.notes)


def _behind(ratio: Measured) -> Coupling:
    return Coupling(
        CRANKSHAFT, SPINDLE, (Ratio("as given", ratio),), source="as given", kind="counted", slip_max=None
    )
