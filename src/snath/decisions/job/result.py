"""Hold what `work` answers of a job: its window, what its readings say, and the one word every surface shows."""

from dataclasses import dataclass

from snath.decisions.behaviour.behaviour import BehaviourResult
from snath.decisions.job.stands import JobVerdict
from snath.decisions.verdict.verdict import Verdict
from snath.decisions.window.window import Window
from snath.quantities.message import Message

NOTHING_ANSWERED, NOTHING_READ = BehaviourResult(), JobVerdict()


@dataclass(frozen=True, slots=True)
class StageResult:
    """What the readings of one stage say of this machine, its checks counted in.

    One verdict on each reading alone, and the one that stands, on the last setting. `turned` counts how often
    something was turned in between, `withdrawn` the readings that no longer count.
    """

    window: Window
    verdicts: tuple[Verdict, ...]
    stands: Verdict | None
    turned: int = 0
    withdrawn: int = 0


@dataclass(frozen=True, slots=True)
class Result:
    """What `work` returns. `window` is that of the machine as left; `stands` the one word every surface shows."""

    schema: str
    program: str
    window: Window
    as_found: StageResult
    as_left: StageResult
    notes: tuple[Message, ...] = ()
    behaviour: BehaviourResult = NOTHING_ANSWERED
    stands: JobVerdict = NOTHING_READ
