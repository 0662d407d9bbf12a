"""Ask what typed readings prove: pass, fail or undecided, of the speed alone."""

from collections.abc import Iterable, Mapping
from functools import cached_property
from typing import Any, get_args

from snath.decisions.job.work import work
from snath.decisions.machine.parts import CRANKSHAFT
from snath.decisions.window.solve import USUAL_DECISION, DecisionRule
from snath.decisions.window.window import Window as CoreWindow
from snath.face.book import Rules
from snath.face.faults import condition_named, one_by_one, one_of, plainly, text_of
from snath.face.sheet import Asked
from snath.face.window import asked_job, tachometer
from snath.face.windowed import Windowed
from snath.quantities.message import Message
from snath.quantities.numbers import DecimalMark
from snath.shop.answers.heads import running_caution
from snath.shop.answers.verdict import Judged, ask_verdict, asked_verdict
from snath.shop.answers.verdict_head import verdict_head
from snath.shop.answers.verdict_types import AskedVerdict


class Verdict(Windowed, AskedVerdict):
    __doc__ = AskedVerdict.__doc__

    _found: Judged

    @cached_property
    def _window(self) -> CoreWindow:  # worked when it is looked at
        return work(self._job).window

    def _rows(self) -> Iterable[object]:
        return self.members

    def _head(self) -> Iterable[Message]:
        return verdict_head(self._found.verdict)

    def _foot(self) -> Iterable[Message | str]:
        verdict = self._found.verdict
        caution = running_caution(self._job.machine)
        return (*verdict.reasons, *verdict.settle, *self._found.notes, caution)

    def _marked(self) -> dict[str, Any]:
        return {"reading": (None, *self._found.readings)[-1], "verdict": self._found.verdict}


@plainly
def judge(
    machine: Asked,
    readings: str | Iterable[str],
    *,
    u: str | None = None,
    instrument: str | None = None,
    accuracy: str | None = None,
    at: str = CRANKSHAFT,
    condition: str = "blades in air",
    hunting: str | None = None,
    decision: str = USUAL_DECISION,
    rule: str | None = None,
    market: str = "",
    rules: Rules = None,
    decimal_mark: DecimalMark | None = None,
    language: str = "en",
) -> Verdict:
    """What readings of one setting prove, of the speed alone: whether the machine was checked is asked of a job.

    Parameters
    ----------
    machine : Sheet, str or path
        As `read_sheet` gives it, or what `read_sheet` takes.
    readings : str or iterable of str
        As "3,190 rpm", "blades in air: 3,190 rpm" or "blades in air at spindle: 2900 rpm", 30 to 60,000 rpm.
    u : str, optional
        Standard uncertainty you stand for, as "5 rpm", over 0 to 6000 rpm.
    instrument : str, optional
        Kind of tachometer: optical, contact, inductive, stroboscope, reed, recording or other.
    accuracy : str, optional
        What its plate or a check in date says, as "0.1 %", 0 to 10 %.
    at, condition : str
        Shaft and condition of a reading that does not say them itself.
    hunting : str, optional
        Half the swing of a hunting engine, as "40 rpm", 0 or more.
    decision : str
        "one-sided 95 %", "guard of U" or "simple acceptance".
    rule : str, optional
        Id of the surface-speed row to use in place of those in scope, as `rule_book` has it.
    market : str
        Where the machine is used: "US", "US/California", "US/Washington", "CA", "EU", "UK", "AU/NZ" or
        "other"; empty takes the strictest row of any.
    rules : RuleBook, str or path, optional
        The shop's own rows, added to the book.
    decimal_mark : str, optional
        How numbers are written and answered, "." or ","; as the sheet is written where left out.
    language : str
        Of the answer: "en" or "de".

    Returns
    -------
    Verdict
        `.word` is "pass", "fail" or "undecided"; speeds in rpm at the shaft of the reading.

    Raises
    ------
    InputError
        Naming what cannot be used, and what would do.

    See Also
    --------
    window : Which readings to take.
    read : The reading of a recording.
    work : A whole job, its checks counted in.

    References
    ----------
    docs/verdict.md: decision rules by JCGM 106:2012, and the usual doubts of each instrument.

    Examples
    --------
    >>> verdict = snath.judge("examples/belt_28_inch.toml", "blades in air: 3,600 rpm", u="5 rpm")
    >>> verdict.word
    'fail'
    """
    locale, mark, job = asked_job(machine, rule, market, rules, decimal_mark, language)
    found = ask_verdict(
        job,
        _readings(readings),
        instrument=tachometer(instrument, accuracy, mark),
        u=u,
        shaft=text_of("at", at),
        condition=condition_named(condition),
        hunting=hunting,
        decision=one_of("decision", decision, get_args(DecisionRule)),
        decimal_mark=mark,
    )
    return Verdict._made(asked_verdict(found, locale), locale, _job=found.job, _found=found)


def _readings(given: Any) -> tuple[Any, ...]:
    """One reading or several; what is no text is refused where it is read."""
    if isinstance(given, Iterable) and not isinstance(given, str | bytes | Mapping):
        return one_by_one("readings", given)
    return (given,)
