"""From what a film shows to one reading, knowing what a phone may have done to its time stamps."""

from dataclasses import replace

from snath.decisions.machine.parts import CRANKSHAFT, Condition
from snath.decisions.reading.reading import Reading
from snath.formulas.signals.film.result import MOST, LightResult

SLOW_MOTION = (120.0, 240.0)  # frames a second at which phones take slow motion; common practice, no source


def across_capture_rates(results: tuple[tuple[float, LightResult], ...]) -> LightResult:
    """One undecided result out of several, each right if the film was taken at that rate.

    Parameters
    ----------
    results : tuple of (float, LightResult)
        Capture rate [1/s] and what follows from it; the first one the likeliest.
    """
    return _undecided_between(
        tuple((f"if filmed at {rate:.0f} frames/s", result) for rate, result in results),
        note="the film may be slow motion stamped at another rate: say how it was taken",
        ask="capture rate",
    )


def across_marks(results: tuple[tuple[int, LightResult], ...]) -> LightResult:
    """One undecided result out of several, each right if the part has so many alike marks.

    Parameters
    ----------
    results : tuple of (int, LightResult)
        Number of marks and what follows from it.
    """
    return _undecided_between(
        tuple(
            (f"if it has {count} of them" if count > 1 else "if it is one", result)
            for count, result in results
        ),
        note="how many alike marks or tips the part has decides the speed, and nobody has said it",
        ask="marks",
    )


def _undecided_between(results: tuple[tuple[str, LightResult], ...], *, note: str, ask: str) -> LightResult:
    """One undecided result out of several, each right under its condition."""
    found = [
        replace(c, weight=c.weight / len(results), order=f"{c.order}, {condition}")
        for condition, result in results
        for c in result.candidates
    ]
    first = results[0][1]
    notes = dict.fromkeys(said for _, result in results for said in result.notes)
    asks = dict.fromkeys(what for _, result in results for what in result.asks)
    return replace(
        first,
        candidates=tuple(sorted(found, key=lambda c: -c.weight)[:MOST]),
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
) -> Reading:
    """One reading where the film leaves one speed, else an undecided one naming all that fit."""
    decided = result.decided and result.steady is not None
    return Reading(
        shaft=shaft,
        condition=condition,
        method="light",
        value=result.steady if decided else None,
        decided=decided,
        candidates=result.candidates,
        at=at,
        why=_why(result, decided),
        next_steps=() if decided else (*(ASKED[what] for what in result.asks), *NEXT_STEPS),
        confirmed=False,
        evidence=evidence,
    )


ASKED = {
    "marks": "say how many alike marks or tips the filmed part has, on the command line --marks",
    "capture rate": "say at how many frames a second it was filmed, on the command line --capture-rate",
    "lamp": "film in daylight, away from lamps on the mains",
    "readout": "say in how much time the rows of a picture are read, on the command line --readout: "
    "each of these speeds needs another",
    "exposure": "say how long each picture was exposed, on the command line --exposure: "
    "the faster the speed, the shorter it must have been",
}
NEXT_STEPS = (
    "film at 240 frames/s, or at a rate whose frames come unevenly",
    "listen to the same clip: a sound and a picture that agree leave one speed",
    "count pulses at the plug lead",
)


def _why(result: LightResult, decided: bool) -> str:
    if decided:
        return f"one speed explains {result.explained:.0%} of the flicker of the mark; its aliases do not"
    return result.notes[0] if result.notes else "several speeds would look the same"
