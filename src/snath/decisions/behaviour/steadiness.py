"""Measure how steady each stretch of a track is, and what each change of load did."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from snath.decisions.behaviour.asked import Load
from snath.decisions.behaviour.stretches import Stretch, part
from snath.formulas.governor.hunting import SHORTEST, Hunting, find_hunting
from snath.formulas.governor.response import Response, SteadyBand, load_response, steady_band
from snath.formulas.signals.candidates import Track
from snath.quantities.errors import InputError

USUAL_BAND = 0.015  # share of speed to recover into where no class is asked for: the G2 steady band


@dataclass(frozen=True, slots=True)
class Steadiness:
    """One steady stretch: its band and whether it hunts."""

    load: Load
    band: SteadyBand
    hunting: Hunting


@dataclass(frozen=True, slots=True)
class Changed:
    """What one change of load did.

    Attributes
    ----------
    kind : str
        "load on" or "load off".
    at : float
        On the track's clock. [s]
    response : Response
    deviation, overshoot : float
        From the speed before and past the speed after, as shares of `base`. [1]
    base : float
        Rated speed where it is known, else the first speed seen. [rev/s]
    """

    kind: Literal["load on", "load off"]
    at: float
    response: Response
    deviation: float
    overshoot: float
    base: float


def steadiness_of(track: Track, cuts: tuple[Stretch, ...]) -> Iterator[Steadiness]:
    """Band and hunting of every stretch long enough to tell."""
    for cut in cuts:
        if cut.length < SHORTEST:
            continue
        piece = part(track, cut.settled, cut.end)
        yield Steadiness(
            load=cut.load,
            band=steady_band(t=piece.t_s, rotation=piece.rev_s, u=piece.u),
            hunting=find_hunting(t=piece.t_s, rotation=piece.rev_s),
        )


def changes_of(
    track: Track, cuts: tuple[Stretch, ...], *, rated: float | None, band: float = USUAL_BAND
) -> Iterator[Changed]:
    """Response to each change with running enough around it, recovered into a band of that share."""
    for before, after in pairwise(cuts):
        piece = part(track, before.settled, after.end)
        base = rated or float(piece.rev_s[0])
        try:
            response = load_response(t=piece.t_s, rotation=piece.rev_s, change=after.start, band=band * base)
        except InputError:
            continue  # too little running around this one; the others still count
        yield Changed(
            kind="load on" if after.load == "loaded" else "load off",
            at=after.start,
            response=response,
            deviation=response.deviation / base,
            overshoot=response.overshoot / base,
            base=base,
        )
