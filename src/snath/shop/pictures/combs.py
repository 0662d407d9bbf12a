"""Choose the two speeds that are held against a sound, and the orders each should be heard at."""

from dataclasses import dataclass

import numpy as np

from snath.formulas.signals.aliases import UNKNOWN_FIRINGS
from snath.formulas.signals.candidates import Candidate, Orders
from snath.formulas.signals.sound_result import SoundResult
from snath.quantities.errors import InputError
from snath.quantities.message import Message, term


@dataclass(frozen=True, slots=True)
class Comb:
    """One speed over time and the orders at which it should be heard.

    Attributes
    ----------
    name : Message or str
        What it would be.
    speed : float
        The speed it is called by. [rev/s]
    t_s, rev_s : tuple of float
        Its course. [s], [rev/s]
    spacing : float
        Orders are the whole multiples of this.
    """

    name: Message | str
    speed: float
    t_s: tuple[float, ...]
    rev_s: tuple[float, ...]
    spacing: float


def combs(result: SoundResult, orders: Orders) -> tuple[Comb, Comb | None]:
    """The likeliest candidate and the next as combs, each along the course of the first.

    Raises
    ------
    InputError
        Where nothing was heard that could be shown.
    """
    if not result.candidates or not result.track.t_s:
        raise InputError("plot", "no speed", Message("records.needs-speed"))
    first = result.candidates[0]
    made = [
        Comb(
            one.order,
            one.rev_s,
            result.track.t_s,
            tuple(v * one.rev_s / first.rev_s for v in result.track.rev_s),
            _spacing(one, orders),
        )
        for one in result.candidates[:2]
    ]
    return made[0], made[1] if len(made) > 1 else None


def _spacing(candidate: Candidate, orders: Orders) -> float:
    """Least order an engine of that firing is heard at."""
    turns, firings = orders.cycle_turns, orders.firings
    if turns is None or firings is None:
        named = [how for how in UNKNOWN_FIRINGS if candidate.order == term("firing", how.name)]
        if not named:
            return 0.5
        turns, firings = named[0].cycle_turns, named[0].firings
    even = np.allclose(np.diff(firings), 1 / len(firings))
    return len(firings) / turns if even else 1 / turns
