"""Make one reading of a film, allowing for what a phone may have done to its time stamps."""

from dataclasses import replace

from snath.decisions.machine.parts import CRANKSHAFT, Condition
from snath.decisions.reading.reading import Reading
from snath.formulas.signals.candidates import Candidate
from snath.formulas.signals.film.result import MOST, LightResult
from snath.quantities.message import Amount, Message, term

RESTAMPED, UNCOUNTED = Message("film.restamped"), Message("film.uncounted")


def across_capture_rates(results: tuple[tuple[float, LightResult], ...]) -> LightResult:
    """One undecided result out of several, each right if the film was taken at that rate.

    Parameters
    ----------
    results : tuple of (float, LightResult)
        Capture rate [1/s] and what follows from it; the first one the likeliest.
    """
    found = [
        replace(c, order=Message("film.if-filmed-at", order=c.order, rate=rate))
        for rate, result in results
        for c in result.candidates
    ]
    return _undecided_between([result for _, result in results], found, note=RESTAMPED, ask="capture-rate")


def across_marks(results: tuple[tuple[int, LightResult], ...], *, note: Message = UNCOUNTED) -> LightResult:
    """One undecided result out of several, each right if the part has so many alike marks.

    Parameters
    ----------
    results : tuple of (int, LightResult)
        Number of marks and what follows from it.
    note : Message
        Why there are several.
    """
    found = [
        replace(c, order=Message("film.if-marks", order=c.order, count=count))
        for count, result in results
        for c in result.candidates
    ]
    return _undecided_between([result for _, result in results], found, note=note, ask="marks")


def _undecided_between(
    results: list[LightResult], found: list[Candidate], *, note: Message, ask: str
) -> LightResult:
    """One undecided result out of several, each right under its own condition."""
    notes = dict.fromkeys(said for result in results for said in result.notes)
    asks = dict.fromkeys(what for result in results for what in result.asks)
    shared = [replace(c, weight=c.weight / len(results)) for c in sorted(found, key=lambda c: -c.weight)]
    return replace(
        results[0],
        candidates=tuple(shared[:MOST]),
        decided=False,
        track=None,
        notes=(note, *notes),
        asks=(ask, *asks),
    )


def reading_from_light(
    result: LightResult,
    *,
    shaft: str = CRANKSHAFT,
    condition: Condition = "blades in air",
    at: str = "",
    evidence: str = "",
    told_rate: float | None = None,
) -> Reading:
    """One reading where the film leaves one speed, else an undecided one naming all that fit.

    Parameters
    ----------
    result : LightResult
        What the film says.
    shaft, condition, at, evidence : str
        As of `Reading`.
    told_rate : float or None
        Frames a second at which somebody said that it was filmed, and nothing else does. [1/s]
    """
    decided = result.decided and result.steady is not None
    return Reading(
        shaft=shaft,
        condition=condition,
        method="light",
        value=result.steady if decided else None,
        decided=decided,
        candidates=result.candidates,
        at=at,
        why=_why(result, decided, told_rate),
        next_steps=() if decided else (*(term("film-ask", what) for what in result.asks), *NEXT_STEPS),
        confirmed=False,
        evidence=evidence,
    )


NEXT_STEPS = (Message("film.unevenly"), Message("film.listen-too"), Message("reading.count-pulses"))


def _why(result: LightResult, decided: bool, told_rate: float | None) -> Message:
    if decided and told_rate is not None:  # slow motion looks right at any rate
        return Message("film.decided-at", share=Amount(result.explained, "share"), rate=told_rate)
    if decided:
        return Message("film.decided", share=Amount(result.explained, "share"))
    return result.notes[0] if result.notes else Message("film.several")
