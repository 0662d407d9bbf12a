"""Hold the settings that were tried, what the engine did there, and where it should go."""

from dataclasses import dataclass
from typing import Literal

from snath.decisions.behaviour.ranges import turning, typed_rpm
from snath.quantities.errors import InputError, within
from snath.quantities.measured import Measured
from snath.quantities.message import Amount, Message, term

SettingKind = Literal["turns", "notches", "spring holes"]
ONE_SIDED = 1.645  # 95 %


@dataclass(frozen=True, slots=True)
class SettingPoint:
    """One setting and what the engine did there.

    Attributes
    ----------
    position : float
        Turns, notch or hole, counted one way from any mark.
    speed : Measured
        No-load speed there. [rev/s]
    idle : float or None
        Idle at that setting. [rev/s]
    """

    position: float
    speed: Measured
    idle: float | None = None


@dataclass(frozen=True, slots=True)
class SettingInput:
    """What has been tried, and where it should go.

    Attributes
    ----------
    kind : str
        "turns" and "notches" may be worked out in between; "spring holes" are choices, each measured.
    points : tuple of SettingPoint
        In the order they were tried, the machine now standing at the last.
    target : float
        [rev/s]
    set_low, set_high : float
        Band to set in. [rev/s]
    ceiling : float
        No-load speed no limit allows to be passed. [rev/s]
    idle_low, idle_high : float or None
        The maker's idle. [rev/s]
    """

    kind: SettingKind
    points: tuple[SettingPoint, ...]
    target: float
    set_low: float
    set_high: float
    ceiling: float
    idle_low: float | None = None
    idle_high: float | None = None

    def refuse_nonsense(self) -> None:
        """Refuse what cannot be.

        Raises
        ------
        InputError
            If the band is upside down, the target lies outside it or past the ceiling, or points are bad.
        """
        for name in ("target", "set_low", "set_high", "ceiling"):
            turning(name, getattr(self, name))
        if self.set_low > self.set_high:
            upside = Message("setting.upside-down", high=Amount(self.set_high, "rotation"))
            raise InputError("set_low", typed_rpm(self.set_low), upside)
        if not self.set_low <= self.target <= self.set_high:
            low, high = Amount(self.set_low, "rotation"), Amount(self.set_high, "rotation")
            raise InputError("target", typed_rpm(self.target), Message("setting.in-band", low=low, high=high))
        if self.set_high > self.ceiling:
            allowed = Message("setting.over-ceiling", ceiling=Amount(self.ceiling, "rotation"))
            raise InputError("set_high", typed_rpm(self.set_high), allowed)
        for point in self.points:
            within("position", point.position, -1000, 1000)
            turning("speed", point.speed.value)
            if self.kind != "turns" and point.position != round(point.position):
                raise InputError(
                    "position",
                    point.position,
                    Message("setting.whole-number", kind=term("setting-kind", self.kind)),
                )

    @property
    def highest(self) -> float:
        """Reading up to which it lies in the band and stays under the ceiling with 95 %. [rev/s]"""
        return min(self.set_high, self.ceiling - ONE_SIDED * self.doubt)

    @property
    def doubt(self) -> float:
        """Standard uncertainty of one more reading: the mean one of those that were taken. [rev/s]"""
        return sum(point.speed.u for point in self.points) / max(len(self.points), 1)


def upper(speed: Measured) -> float:
    """What a speed stays under with 95 %. [rev/s]"""
    return speed.value + ONE_SIDED * speed.u
