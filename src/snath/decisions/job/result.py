"""Hold what `work` answers of a job: its window, what its readings say, and the one word every surface shows."""

from dataclasses import dataclass

from snath.decisions.behaviour.behaviour import BehaviourResult
from snath.decisions.job.stage import StageResult
from snath.decisions.job.stands import JobVerdict
from snath.decisions.window.window import Window
from snath.quantities.message import Message

NOTHING_ANSWERED, NOTHING_READ = BehaviourResult(), JobVerdict()


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
