"""Hold who may sit where: each position on the belt with the pieces that fit there, and the belts there are."""

import math
from dataclasses import dataclass

from snath.decisions.drive.belt import Belt
from snath.formulas.belts.contact import Contact


@dataclass(frozen=True, slots=True)
class Choice:
    """A sheave, guide or idler that may sit at a position.

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
    unseen : float
        How deep it may lie where nobody looked. [m]
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
    unseen: float = 0.0


@dataclass(frozen=True, slots=True)
class Position:
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
