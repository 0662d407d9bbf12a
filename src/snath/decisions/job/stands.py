"""Put together what a job as a whole says: its checks first, then speed and stop test; every surface reads it here."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

from snath.decisions.behaviour.asked import StageName
from snath.decisions.behaviour.checklist import ChecklistResult, blocking_words
from snath.decisions.behaviour.stop import StopResult
from snath.decisions.verdict.verdict import Stands, Verdict
from snath.decisions.window.window import Window
from snath.quantities.message import Message

NOT_CHECKED, CHECK_IT = Message("checks.not-checked"), Message("checks.check-it")
PUT_IT_RIGHT, SPEED_ONLY = Message("checks.put-it-right"), Message("checks.speed-alone")
READ_AS_IT_IS = Message("verdict.read-as-it-is")

By = Literal["", "checks", "not checked", "stop", "speed"]


@dataclass(frozen=True, slots=True)
class JobVerdict:
    """What the job as a whole says.

    Attributes
    ----------
    word : str
        "" where nothing was read, else pass, fail, undecided, or blocked: a fault that is not put right.
    by : str
        What decides the word: "checks", "not checked", "stop" or "speed".
    stage : str
        The stage that counts, "as left" once something was read there.
    blocked_by : tuple of Message
        Every fault that blocks, by the name of its check.
    left_set : bool
        Whether a paper may name the speed the machine is left at: that of the stage that counts, passed, nothing
        held back. A machine that came in right and was not turned is left at the speed it was found at.
    do_not_use : bool
        Whether every paper must say so: a check blocks, a limit is passed, the stop test fails, or it was left as it
        came.
    outside_figure : bool
        Whether no limit is passed, but it surely runs outside what its maker asks for.
    reasons, settle : tuple of Message or str
        Why it is not a pass, and what would settle it.
    """

    word: Stands | Literal[""] = ""
    by: By = ""
    stage: StageName = "as found"
    blocked_by: tuple[Message, ...] = ()
    left_set: bool = False
    do_not_use: bool = False
    outside_figure: bool = False
    reasons: tuple[Message | str, ...] = ()
    settle: tuple[Message | str, ...] = ()

    @property
    def left_as_found(self) -> bool:
        """Whether it came in right and is left at the speed it was found at."""
        return self.left_set and self.stage == "as found"


def hold_verdict(verdict: Verdict, checked: ChecklistResult, stage: StageName) -> Verdict:
    """A verdict on a speed as one on this machine: blocked by a fault, and no pass of what was not checked."""
    if checked.blocking:
        return replace(
            verdict,
            word="blocked",
            green=False,
            pass_below=None,
            fail_above=None,
            set_between=None,
            target=None,
            reasons=(*blocking_words(checked), *verdict.reasons),
            settle=(PUT_IT_RIGHT,),
        )
    if stage in checked.answered or verdict.word == "fail":
        return verdict
    return replace(
        verdict,
        word="undecided",
        green=False,
        reasons=(NOT_CHECKED, *verdict.reasons),
        settle=(CHECK_IT, *verdict.settle),
    )


def held_window(window: Window, checked: ChecklistResult) -> Window:
    """The window without a speed to set to where a fault blocks: its limits stay, they are the machine's."""
    if not checked.blocking:
        return window
    return replace(window, target=None, set_low=None, set_high=None, setting="blocked")


def whole(
    checked: ChecklistResult,
    *,
    found: Verdict | None,
    left: Verdict | None,
    stop: StopResult | None,
    outcome: str,
    since: Message | None = None,
) -> JobVerdict:
    """The word of a job from its checks, speeds and stop test; a stop test alone is no pass.

    Parameters
    ----------
    checked : ChecklistResult
    found, left : Verdict or None
        What the readings of each stage say of the speed; None where nothing was read.
    stop : StopResult or None
    outcome : str
        How the job ended, where that is not simply "set".
    since : Message or None
        What was done to the machine after the readings that stand: what passed then says nothing of it now, and
        where it was to be set to neither.
    """
    stage: StageName = "as left" if left is not None else "as found"
    speed = left or found
    if speed is not None and since is not None:
        speed = _read_before(speed, since)
    stands = None if speed is None else hold_verdict(speed, checked, stage)
    parts: list[Verdict | StopResult] = [] if stands is None else [stands]
    if stop is not None and (stands is not None or stop.word != "pass"):
        parts.append(stop)
    word = _worst(parts)
    by: By = "stop" if stop is not None and (stands is None or stands.word != word) else "speed"
    if word == "undecided" and by == "speed" and speed is not None and speed.word == "pass":
        by = "not checked"
    if checked.blocking:
        word, by = "blocked", "checks"
    hurts = checked.blocking or (stands is not None and stands.limits == "over")
    do_not_use = bool(hurts or outcome or (stop is not None and stop.word == "fail"))
    return JobVerdict(
        word=word,
        by=by if word else "",
        stage=stage,
        blocked_by=checked.blocking,
        left_set=word == "pass" and not outcome,
        do_not_use=do_not_use,
        outside_figure=not do_not_use and stands is not None and stands.maker == "out",
        reasons=_once(
            (*blocking_words(checked), *(line for p in parts if p.word != "pass" for line in p.reasons))
        ),
        settle=(PUT_IT_RIGHT,)
        if checked.blocking
        else _once(line for p in parts if p.word != "pass" for line in p.settle),
    )


def _read_before(speed: Verdict, since: Message) -> Verdict:
    """What was read before something was done to the machine: no pass of it now, and no figure to set it to."""
    if speed.word == "pass":
        return replace(speed, word="undecided", green=False, reasons=(since,), settle=(READ_AS_IT_IS,))
    return replace(speed, reasons=(since, *speed.reasons), settle=(READ_AS_IT_IS,))


def _worst(parts: list[Verdict | StopResult]) -> Stands | Literal[""]:
    words = {part.word for part in parts}
    ordered: tuple[Stands, ...] = ("blocked", "fail", "undecided", "pass")
    return next((word for word in ordered if word in words), "")


def _once(lines: Iterable[Message | str]) -> tuple[Message | str, ...]:
    return tuple(dict.fromkeys(lines))
