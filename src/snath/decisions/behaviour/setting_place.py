"""Choose the setting to try next, or say that none will do."""

import numpy as np

from snath.decisions.behaviour.setting_curve import Curves
from snath.quantities.message import Amount, Message

KEPT = 0.995  # chance with which the ceiling is kept wherever it is sent
# the same while two settings alone were read, which show nothing of how a setting comes back
KEPT_BY_TWO = 0.998
FASTER, SLOWER = 2.0, 5.0  # widths of what was tried that a step may go past it: slower no limit waits
FAR = 60  # notches looked at, each way, before it is said that none fits
HOPE = 0.1  # notches or readings in the band to be hoped for, under which it is given up
ENOUGH = 5  # settings tried after which the next must be more likely than not to do
EVEN = 0.5
LEAST = 2  # settings read before one is worked out
SAME = 1e-3  # of a turn
HALVINGS = 30


def hit(curves: Curves, place: float) -> float:
    """Chance that a reading there lies in the band and under the ceiling. [0 to 1]"""
    given, u = curves.given, curves.given.doubt
    return max(curves.under(place, given.highest, u) - curves.under(place, given.set_low, u), 0.0)


def sought(curves: Curves) -> float | None:
    """Where it comes nearest to the target, of all that keeps the ceiling; None where not even far slower does."""
    given = curves.given
    slow, fast = _reach(curves)
    if given.kind != "turns":
        low, high = sorted((slow, fast))
        whole = [float(place) for place in np.arange(np.ceil(low), np.floor(high) + 1)]
        kept = [place for place in whole if curves.under(place, given.ceiling) >= KEPT]
        off = {place: abs(curves.stays_under(place, 0.5) - given.target) for place in kept}
        chance = {place: round(hit(curves, place), 2) for place in kept}
        return max(kept, key=lambda place: (max(chance[place], HOPE), -off[place]), default=None)
    sure = KEPT if len(given.points) > LEAST else KEPT_BY_TWO
    aim = min(given.target, max((given.set_low + given.highest) / 2, given.set_low))

    def good(place: float) -> bool:
        return curves.under(place, aim) >= EVEN and curves.under(place, given.ceiling) >= sure

    if good(fast):
        return fast
    if not good(slow):
        return None
    for _ in range(HALVINGS):
        middle = (slow + fast) / 2
        slow, fast = (middle, fast) if good(middle) else (slow, middle)
    return slow


def slower(curves: Curves) -> tuple[float, Message]:
    """A place on the slow side of all that was tried, and why: as far off as that is wide; farther if all is over."""
    given, (slow, _) = curves.given, _reach(curves)
    if all(point.speed.value > given.ceiling for point in given.points):
        return slow if given.kind == "turns" else float(round(slow)), Message("setting.both-over")
    tried = [point.position for point in given.points]
    low, high = min(tried), max(tried)
    return low - (high - low) if slow < low else high + (high - low), Message("setting.not-surely-under")


def _reach(curves: Curves) -> tuple[float, float]:
    """The slowest and the fastest place a step may go to."""
    tried = [point.position for point in curves.given.points]
    low, high = min(tried), max(tried)
    if curves.rises >= EVEN:
        return low - SLOWER * (high - low), high + FASTER * (high - low)
    return high + SLOWER * (high - low), low - FASTER * (high - low)


def none_fits(curves: Curves, place: float) -> Message | None:
    """Why no setting will do, and what would; None while `place`, the one sought, is worth a try."""
    given = curves.given
    if given.highest < given.set_low:
        return Message("setting.read-surer", u=Amount(given.doubt, "rotation"))
    chance = hit(curves, place)
    if given.kind != "turns":
        tried = [point.position for point in given.points]
        every = np.arange(min(tried) - FAR, max(tried) + FAR + 1)
        if sum(hit(curves, float(step)) for step in every) < HOPE:
            return Message("setting.none-between")
    if abs(place - given.points[-1].position) < SAME and chance < HOPE:
        return Message("setting.next-may-pass")
    if len(given.points) > ENOUGH and chance < EVEN:
        return Message(
            "setting.not-repeated",
            scatter=Amount(curves.scatter, "rotation"),
            width=Amount(given.set_high - given.set_low, "rotation"),
        )
    return None
