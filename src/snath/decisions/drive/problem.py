"""The question put to the search: who may sit where, which belts there are, and what must hold.

Everything here is SI and plain; where the figures come from is the business of `ask`.
"""

import math
from dataclasses import dataclass

from snath.decisions.drive.frame import Belt
from snath.formulas.belts.contact import Contact
from snath.formulas.belts.take_up import Arm, Slot


@dataclass(frozen=True, slots=True)
class Choice:
    """A sheave, guide or idler that may sit at a post.

    Attributes
    ----------
    outside, offset : float
        Outside diameter, and outside less datum diameter. [m]
    section : str
        Of its groove; empty for a flat.
    rank : int
        Its place in the order of stock numbers; -1 for what is there already.
    number : str
        Its stock number; empty for what is there already.
    part : str
        The machine maker's number, where it is that part.
    original : bool
        Whether that is the number the maker lists for this place.
    price : float
    changed : bool
        False for what is there already.
    count : int
        Pieces of that number in stock: one drive cannot use more.
    cast : bool
        Cast iron: held to the rim speed guide.
    ride : float
        How far the belt's top stands above the rim of a worn groove, negative where it has sunk in. [m]
    """

    outside: float
    offset: float
    section: str = ""
    rank: int = -1
    number: str = ""
    part: str = ""
    original: bool = False
    price: float = 0.0
    changed: bool = False
    count: int = 1
    cast: bool = False
    ride: float = 0.0


@dataclass(frozen=True, slots=True)
class Post:
    """A pulley's place with everything that may sit there.

    Attributes
    ----------
    name, shaft : str
        Shaft is empty for idlers and guides.
    x, y : float
        Centre; of a movable pulley unused. [m]
    contact : str
        How the belt lies on it.
    choices : tuple of Choice
        At least one.
    room : float
        Largest outside diameter. [m]
    limit, floor : float
        The shaft's highest and lowest speed with the engine at `Problem.speed`. [rev/s]
    power : float
        Taken at the drive as it is. [W]
    ratio_now : float
        Shaft over engine speed as it is, for the cube law. [1]
    stays : bool
        Whether its sheave cannot be exchanged, as a belt that is not asked about runs on it too.
    """

    name: str
    x: float
    y: float
    contact: Contact
    choices: tuple[Choice, ...]
    shaft: str = ""
    room: float = math.inf
    limit: float = math.inf
    floor: float = 0.0
    power: float = 0.0
    ratio_now: float = 1.0
    stays: bool = False

    @property
    def loaded(self) -> bool:
        """Whether power goes through it."""
        return bool(self.shaft)


@dataclass(frozen=True, slots=True)
class BeltChoice:
    """A belt that may be fitted; the fields are those of `Choice`."""

    belt: Belt
    rank: int = -1
    number: str = ""
    original: bool = False
    price: float = 0.0
    changed: bool = False


@dataclass(frozen=True, slots=True)
class Problem:
    """One drive to be chosen.

    Attributes
    ----------
    posts : tuple of Post
        In the order in which the belt meets them; the first is the engine's.
    belts : tuple of BeltChoice
    moving : str
        Name of the movable pulley.
    way : Slot or Arm
        Its engaged travel, from slack to tight. [m]
    clockwise : bool
        How the belt goes round as drawn.
    speed : float
        Highest sustained engine speed, nothing being cut. [rev/s]
    least_wrap : float
        On loaded sheaves, at both ends of the travel. [rad]
    clearance : float
        Between rims. [m]
    spread : float or None
        Largest lead of the fastest driven shaft over the slowest. [1]
    stretch : float
        Share by which a belt grows in service. [1]
    slack_pull : float
        In the slack run, running, over the centrifugal pull where `mass` is 0. [N]
    friction : float
        As it acts in the groove. [1]
    mass : float
        Of the belt; 0 leaves the centrifugal pull out. [kg/m]
    rim_speed : float
        Guide for cast iron. [m/s]
    """

    posts: tuple[Post, ...]
    belts: tuple[BeltChoice, ...]
    moving: str
    way: Slot | Arm
    clockwise: bool
    speed: float
    least_wrap: float = math.pi / 2
    clearance: float = 0.003
    spread: float | None = None
    stretch: float = 0.01
    slack_pull: float = 100.0
    friction: float = 0.5123
    mass: float = 0.0
    rim_speed: float = 33.02

    def place(self, post: Post, end: float) -> tuple[float, float]:
        """Centre of a post with the movable pulley at a share of its way. [m]"""
        return self.way.at(end) if post.name == self.moving else (post.x, post.y)


@dataclass(frozen=True, slots=True)
class Candidate:
    """One drive that meets every hard constraint.

    Attributes
    ----------
    choices : tuple of Choice
        One for each post.
    belt : BeltChoice
    changed : int
        Parts changed, the belt among them.
    margin : float
        By which share the worst shaft, in its worst alternative, stays under its limit. [1]
    grip : float
        By which share the worst sheave could pull more before it slips, at the worse end of the travel. [1]
    price : float
    ties : int
        Drives from stock that are equal to this one in all four, itself included.
    """

    choices: tuple[Choice, ...]
    belt: BeltChoice
    changed: int
    margin: float
    grip: float
    price: float
    ties: int = 1


@dataclass(frozen=True, slots=True)
class Found:
    """What the search says: the drives, how many it looked at, and whether it saw them all."""

    candidates: tuple[Candidate, ...]
    looked_at: int
    exhaustive: bool
