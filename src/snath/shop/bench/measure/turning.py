"""Which way to turn the screw, while somebody turns it: up, down, there, or nothing that can be said."""

from dataclasses import dataclass
from typing import Literal

from snath.decisions.machine.parts import Machine
from snath.decisions.reading.reading import Reading
from snath.decisions.window.window import Window

Way = Literal["up", "down", "there", ""]
GUARD = 0.02  # of the speed: no arrow points up nearer than this to where a perfect reading would still pass
ALIKE = 0.03  # of the speed: a candidate this near twice of it is its double


@dataclass(frozen=True, slots=True)
class Turning:
    """What stands beside a live figure: the limit, the band to set in, and the way to it. [rev/s]"""

    ceiling: float | None
    low: float | None
    high: float | None
    way: Way


def turning(reading: Reading, window: Window, machine: Machine) -> Turning:
    """The way to the band, as far as this reading can tell."""
    return Turning(window.ceiling, window.set_low, window.set_high, _way(reading, window, machine))


def _way(reading: Reading, window: Window, machine: Machine) -> Way:
    """Down is said of any decided speed that is too fast; up only where the engine cannot be faster than it sounds."""
    if not reading.decided or reading.value is None or window.setting in ("stop", "blocked") or window.shut:
        return ""
    speed, doubt = reading.value.value, 2 * reading.value.u
    tops = [top for top in (window.set_high, window.pass_below, window.ceiling) if top is not None]
    if tops and speed > min(tops):
        return "down"
    if window.set_low is None or window.set_high is None:
        return ""  # nobody gives a figure to set to: a ceiling is none
    if not _double_excluded(reading, machine):
        return ""
    if speed >= window.set_low:
        return "there"
    room = (window.pass_below or min(tops)) * (1 - GUARD)
    return "up" if speed + doubt < room else ""


def _double_excluded(reading: Reading, machine: Machine) -> bool:
    """Whether it cannot turn twice as fast as it sounds: nothing of that fits, and the sheet tells its firings."""
    assert reading.value is not None
    double = 2 * reading.value.value
    fits = any(abs(one.rev_s - double) <= ALIKE * double and one.weight > 0 for one in reading.candidates)
    engine = machine.engine
    return not fits and engine.strokes is not None and engine.cylinders is not None
