"""Describe what a drive is built on: its shafts, the pulley that can move, the belt, what must be kept."""

import math
from dataclasses import dataclass, field

from snath.decisions.drive.belt import Belt
from snath.formulas.belts.contact import Contact, line_radius
from snath.formulas.belts.grooves import belt_height
from snath.formulas.belts.loop import Pulley
from snath.formulas.belts.space import Wheel
from snath.formulas.belts.take_up import TakeUp
from snath.formulas.belts.ways import Arm, Slot


@dataclass(frozen=True, slots=True)
class Place:
    """One pulley where it stands.

    Attributes
    ----------
    name : str
        As the shop calls it.
    x, y : float
        Centre in the drawing; for a movable pulley as found. [m]
    outside : float
        Outside diameter as it is. [m]
    contact : str
        How the belt lies on it.
    shaft : str
        Shaft of the machine sheet it sits on; empty for idlers and guides.
    section : str
        Of its groove; empty on a flat.
    offset : float or None
        Outside less datum diameter of its groove, from the sheave maker's page; None takes the table's. [m]
    bore : str
        As a sheave for this shaft must be bored; empty does not ask.
    room : float
        Largest outside diameter that clears covers and frame. [m]
    ride : float
        How far the belt's top stands above the rim; negative where a worn groove lets it sink. [m]
    bottomed : bool
        Whether the bottom of the groove shines: the belt then rests on it and no longer wedges.
    wobbles : bool
        Whether it runs out of true.
    """

    name: str
    x: float
    y: float
    outside: float
    contact: Contact = "groove"
    shaft: str = ""
    section: str = ""
    offset: float | None = None
    bore: str = ""
    room: float = math.inf
    ride: float = 0.0
    bottomed: bool = False
    wobbles: bool = False


@dataclass(frozen=True, slots=True)
class Spring:
    """A tension spring on an idler arm.

    Attributes
    ----------
    anchor : (float, float)
        Fixed end. [m]
    lever : float
        From the arm's pivot to where the spring is hooked in. [m]
    angle : float
        Of that lever from the arm's own direction, counter-clockwise as drawn. [rad]
    rate, initial, free : float
        [N/m], [N], [m]
    """

    anchor: tuple[float, float]
    lever: float
    angle: float
    rate: float
    initial: float
    free: float


@dataclass(frozen=True, slots=True)
class Fit:
    """What a drive must keep to, as the shop states it.

    Attributes
    ----------
    speed : float or None
        No-load engine speed it is to be governed at; None takes the maker's figure. [rev/s]
    least_share : float
        Every limited shaft must reach this share of its limit, or the machine no longer does its work.
    least_wrap : float
        On every loaded sheave. [rad]
    spread : float or None
        By how much the fastest of several driven shafts may outrun the slowest; None does not ask.
    clearance : float
        Between rims. [m]
    power : float or None
        The members take together at `speed`. [W]
    service : float
        Service factor on that power, for the published rating: the shop's own judgement.
    slack_pull : float or None
        Pull of the spring or take-up in the slack run; None compares with the drive as it is. [N]
    stretch : float
        Share by which a belt grows in service.
    """

    speed: float | None = None
    least_share: float = 0.85
    least_wrap: float = math.pi / 2
    spread: float | None = None
    clearance: float = 0.003
    power: float | None = None
    service: float = 1.3
    slack_pull: float | None = None
    stretch: float = 0.01


@dataclass(frozen=True, slots=True)
class Frame:
    """A drive as it stands. The first place is the engine's; `moving` names the movable pulley.

    `released` is the share of its way an idler is let go to, under 0 beyond the slack end.
    `clockwise` is how the belt goes round as drawn. `space` holds the wheels of a drive that is not flat.
    """

    name: str
    places: tuple[Place, ...]
    belt: Belt
    clockwise: bool = False
    moving: str = ""
    way: Slot | Arm | None = None
    released: float | None = None
    spring: Spring | None = None
    fit: Fit = field(default_factory=Fit)
    space: tuple[Wheel, ...] = ()

    @property
    def driver(self) -> Place:
        """The engine's pulley."""
        return self.places[0]

    @property
    def loaded(self) -> tuple[Place, ...]:
        """Pulleys on driven shafts, in belt order."""
        return tuple(p for p in self.places[1:] if p.shaft)

    @property
    def idler_on_tight_run(self) -> bool:
        """Whether the movable pulley is an idler that the belt meets after a driven shaft: it then sees the load."""
        names = [p.name for p in self.places]
        if self.moving not in names or self.places[names.index(self.moving)].shaft:
            return False
        return any(p.shaft for p in self.places[1 : names.index(self.moving)])


def pulleys(frame: Frame, belt: Belt | None = None) -> tuple[Pulley, ...]:
    """The frame's pulleys as a belt sees them; None takes the belt that is on."""
    on = belt or frame.belt
    return tuple(belt_pulley(p.name, (p.x, p.y), p.outside, p.contact, on, p.ride) for p in frame.places)


def take_up(frame: Frame) -> TakeUp:
    """The frame as its movable pulley tightens the belt that is on; only where one can be moved."""
    assert frame.way is not None
    return TakeUp(pulleys(frame), frame.moving, frame.way, frame.clockwise)


def belt_pulley(
    name: str, at: tuple[float, float], outside: float, contact: Contact, belt: Belt, ride: float = 0.0
) -> Pulley:
    """A pulley of some outside diameter as the line of a belt's length sees it."""
    height = belt_height(belt.section).value if contact == "flat inside" else None
    radius = line_radius(contact=contact, outside=outside, depth=belt.depth, ride=ride, height=height)
    return Pulley(name, at[0], at[1], radius, contact == "flat back", outside / 2)
