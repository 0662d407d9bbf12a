"""List the other speeds that would sound the same where nobody says how the engine fires."""

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class Firing:
    """One way an engine may fire.

    Attributes
    ----------
    name : str
        Its word of the group "firing".
    cycle_turns : int
        Turns of one working cycle.
    firings : tuple of float
        Fractions of the cycle, from 0 up to 1.
    prior : float
        How common it is in a small-engine shop; common practice, no source.
    """

    name: str
    cycle_turns: int
    firings: tuple[float, ...]
    prior: float


SINGLE = Firing("every-second-turn", 2, (0.0,), 0.55)
EVERY_TURN = Firing("every-turn", 2, (0.0, 0.5), 0.40)
TWICE_A_TURN = Firing("twice-a-turn", 2, (0.0, 0.25, 0.5, 0.75), 0.05)
UNKNOWN_FIRINGS = (SINGLE, EVERY_TURN, TWICE_A_TURN)


def same_sound(*, cycle_rate: float, rev_s_low: float, rev_s_high: float) -> Any:
    """Engine speeds at which a comb with that spacing is a whole, evenly spaced firing pattern.

    Parameters
    ----------
    cycle_rate : float
        Spacing of the comb, over 0. [Hz]
    rev_s_low, rev_s_high : float
        Range of engine speed. [rev/s]

    Returns
    -------
    tuple of (float, Firing)
        Speed [rev/s] and the firing that would explain it, in the order of `UNKNOWN_FIRINGS`.

    References
    ----------
    .. [1] By counting: a cycle of so many turns holds so many firings, worked out in docs/sound.md.
    """
    found = []
    for firing in UNKNOWN_FIRINGS:
        speed = cycle_rate * firing.cycle_turns / len(firing.firings)
        if rev_s_low <= speed <= rev_s_high:
            found.append((speed, firing))
    return tuple(found)
