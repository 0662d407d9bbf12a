"""Judge a stop test: against the maker's manual first, then the rows for such a machine."""

import math
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any

from snath.decisions.behaviour.asked import StopInput
from snath.decisions.behaviour.same_piece import turns_with
from snath.decisions.behaviour.stop_evidence import StopEvidence, stop_evidence
from snath.decisions.machine.parts import CRANKSHAFT, Machine
from snath.decisions.machine.rows import rows_for
from snath.decisions.verdict.verdict import Word
from snath.quantities.errors import InputError, within
from snath.quantities.message import Amount, Message, term
from snath.quantities.shipped import shipped_text
from snath.rules.book import Rule
from snath.rules.scope import design_of

CAUTIONS = (Message("stop.may-be-turning"), Message("stop.stand-clear"))
MAKER = "maker's manual"
HEARD = Message("stop.heard-alone")
LEAST_SEEN = 0.3  # share of its speed down to which a curve must be seen to clear: brakes fade and let go


@dataclass(frozen=True, slots=True)
class StopLimit:
    """One limit held against the stop.

    Attributes
    ----------
    basis, printed, standing, source : str
        "maker's manual" or a rule's id, and how it is known.
    limit : float
        [s]
    word : str
        pass, fail or undecided by this limit alone.
    may_pass : bool
        False for a row that can condemn but never clear.
    why : Message
    """

    basis: str
    printed: str
    standing: str
    source: str
    limit: float
    word: Word
    may_pass: bool
    why: Message


@dataclass(frozen=True, slots=True)
class StopResult:
    """What the stop test settles.

    Attributes
    ----------
    word : str
        fail if any limit fails; pass only if one that may clear does and none fails.
    evidence : StopEvidence or None
        None where the track was not the blade's.
    limits : tuple of StopLimit
    reasons, settle, cautions : tuple of Message
    """

    word: Word
    evidence: StopEvidence | None
    limits: tuple[StopLimit, ...]
    reasons: tuple[Message, ...]
    settle: tuple[Message, ...]
    cautions: tuple[Message, ...] = CAUTIONS


@cache
def devices() -> dict[str, Message]:
    """Stop devices and how each is tested."""
    return {row["id"]: term("stop-device", row["id"]) for row in _data()["device"]}


def judge_stop(given: StopInput, machine: Machine, rules: tuple[Rule, ...], *, market: str) -> StopResult:
    """The verdict on one stop test.

    Raises
    ------
    InputError
        If the device or a shaft is unknown, the release comes after the standstill, or the track is bad.
    """
    if given.device not in devices():
        raise InputError("device", given.device, Message("fault.one-of", known=tuple(devices())))
    if given.maker_limit is not None:
        within("maker_limit", given.maker_limit, 0, 60, "s", open_low=True)
    if not _is_the_blades(given, machine):
        why = Message("stop.other-shaft", shaft=given.track.shaft)
        return StopResult("undecided", None, (), (why,), (Message("stop.own-shaft"),))
    evidence = stop_evidence(
        given.track, u_release=given.u_release, u_standstill=given.u_standstill, braked=_may_let_go(given)
    )
    limits = tuple(_held(given, evidence, machine, rules, market))
    return StopResult(
        word=_word(limits),
        evidence=evidence,
        limits=limits,
        reasons=(*_reasons(evidence, limits), *_remembered(given, machine)),
        settle=tuple(_settle(evidence, limits)),
    )


def _is_the_blades(given: StopInput, machine: Machine) -> bool:
    """The blade's own shaft, or one that can only stop with it and is not let go by the stop device."""
    together = turns_with(machine, given.track.shaft, given.blade_shaft)
    if given.track.shaft == given.blade_shaft:
        return together and not (_runs_on(given.device) and given.blade_shaft == CRANKSHAFT)
    return together and not _runs_on(given.device)


def _may_let_go(given: StopInput) -> bool:
    """Whether something slows it that can fail below what was seen: a brake, or a belt that can be thrown."""
    direct = given.blade_shaft == CRANKSHAFT
    return not direct or any(row["id"] == given.device and row["brake"] for row in _data()["device"])


def _runs_on(device: str) -> bool:
    return any(row["id"] == device and row["engine"] == "runs on" for row in _data()["device"])


def _held(
    given: StopInput, evidence: StopEvidence, machine: Machine, rules: tuple[Rule, ...], market: str
) -> Iterator[StopLimit]:
    if given.maker_limit is not None:
        yield _limit(
            evidence, MAKER, f"{given.maker_limit:g} s", "read", given.maker_source, given.maker_limit, None
        )
    rows = rows_for(machine, "blade", rules, market=market)
    never = {row["rule"] for row in _data()["row"] if not row["may_pass"]}
    for rule in rows:
        if rule.kind == "stopping time" and rule.at_most is not None:
            named = next((id for id in (rule.overrides, rule.id) if id in never), None)
            why = None if named is None else term("clears-nothing", named)
            yield _limit(evidence, rule.id, rule.printed, rule.standing, rule.source, rule.at_most, why)


def _limit(
    evidence: StopEvidence,
    basis: str,
    printed: str,
    standing: str,
    source: str,
    limit: float,
    never: Message | None,
) -> StopLimit:
    word, why = _against(evidence, limit)
    if word == "pass" and never is not None:
        word, why = "undecided", never
    return StopLimit(basis, printed, standing, source, limit, word, never is None, why)


def _against(evidence: StopEvidence, limit: float) -> tuple[Word, Message]:
    if evidence.still_turning > limit:
        return "fail", Message("stop.still-turning", t=evidence.still_turning)
    if evidence.earliest > limit and evidence.value is not None:
        return "fail", Message("stop.no-earlier", t=evidence.earliest)
    if evidence.latest <= limit:
        if not evidence.released:
            return "undecided", Message("stop.release-not-marked")
        if evidence.how != "seen" and _lowest_seen(evidence) > LEAST_SEEN:
            return "undecided", Message("stop.seen-down-to", share=Amount(_lowest_seen(evidence), "share"))
        if evidence.heard_alone:
            return "undecided", HEARD
        return "pass", Message("stop.within", t=evidence.latest)
    if math.isinf(evidence.latest):
        return "undecided", _unbounded(evidence)
    return "undecided", Message("stop.too-close", earliest=evidence.earliest, latest=evidence.latest)


def _unbounded(evidence: StopEvidence) -> Message:
    if evidence.heard_alone and evidence.how == "from the curve":
        return HEARD
    if evidence.how != "from the curve" or evidence.run_down is None:
        return Message("stop.unbounded")
    seen = Amount(_lowest_seen(evidence), "share")
    return Message("stop.brake-may-let-go", share=seen, t=evidence.value or 0.0)


def _lowest_seen(evidence: StopEvidence) -> float:
    return evidence.run_down.lowest_seen if evidence.run_down else 1.0


def _word(limits: tuple[StopLimit, ...]) -> Word:
    words = [limit.word for limit in limits]
    if "fail" in words:
        return "fail"
    clearing = [limit for limit in limits if limit.may_pass]
    return "pass" if clearing and all(limit.word == "pass" for limit in clearing) else "undecided"


def _reasons(evidence: StopEvidence, limits: tuple[StopLimit, ...]) -> Iterator[Message]:
    for limit in limits:
        yield Message(
            "stop.by-limit",
            basis=limit.basis,
            printed=limit.printed,
            word=term("verdict-word", limit.word),
            why=limit.why,
        )
    if not any(limit.basis == MAKER for limit in limits):
        yield Message("stop.no-maker-figure")
    if not limits:
        yield Message("stop.no-limit")
    if evidence.mistaken:
        yield evidence.mistaken
    if evidence.run_down is not None and not evidence.run_down.understood:
        yield Message("stop.not-friction")


def _remembered(given: StopInput, machine: Machine) -> Iterator[Message]:
    """What the trade remembers, where the manual is missing: it settles nothing."""
    if given.maker_limit is not None:
        return
    for row in _data()["remembered"]:
        if machine.kind in row["machines"] and design_of(machine.kind, machine.product) in row["products"]:
            yield Message("stop.remembered", printed=row["printed"], source=row["source"])


def _settle(evidence: StopEvidence, limits: tuple[StopLimit, ...]) -> Iterator[Message]:
    if _word(limits) != "undecided":
        return
    if not any(limit.basis == MAKER for limit in limits):
        yield Message("stop.look-up")
    if evidence.how != "seen" or evidence.heard_alone:
        yield Message("stop.record-to-rest")
    if not evidence.released:
        yield Message("stop.mark-release")


@cache
def _data() -> dict[str, list[dict[str, Any]]]:
    text = shipped_text("snath.decisions.behaviour", "stopping.toml")
    return tomllib.loads(text)
