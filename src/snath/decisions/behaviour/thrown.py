"""Describe a question about thrown objects: stages, objects, the opening, the air around."""

from dataclasses import dataclass

STONE = 0.02  # kg, what is asked about where nothing else is named; common practice, no source


@dataclass(frozen=True, slots=True)
class TipSpeed:
    """Tip speed of one state of the machine: "as found", "as left", "at the limit". [m/s]"""

    stage: str
    tip_speed: float


@dataclass(frozen=True, slots=True)
class Thing:
    """What may lie in the grass.

    Attributes
    ----------
    name : str
    mass : float
        [kg]
    density : float
        That of stone where nothing is said: common practice, no source. [kg/m^3]
    """

    name: str
    mass: float
    density: float = 2600.0


@dataclass(frozen=True, slots=True)
class Opening:
    """Where things get out, heights above ground. [m]"""

    struck_height: float
    edge_distance: float
    edge_low: float
    edge_high: float


@dataclass(frozen=True, slots=True)
class Surroundings:
    """Wind at most along the throw [m/s], rise of the ground as an angle [rad], and the air.

    Air of 20 degrees C at sea level unless said otherwise: 1.2 kg/m^3, 1.81e-5 Pa s (from memory).
    """

    wind: float = 0.0
    slope: float = 0.0
    density: float = 1.2
    viscosity: float = 1.81e-5


@dataclass(frozen=True, slots=True)
class ThrowInput:
    """What is thrown, how fast the tip is, and where it gets out.

    Attributes
    ----------
    stages : tuple of TipSpeed
        The first is what the others are compared with.
    things : tuple of Thing
    bounce_low, bounce_high : float
        Bounce of blade on thing, 0 to 1; where nothing is known, all of it.
    opening : Opening or None
        Without one no distances are worked out.
    surroundings : Surroundings
    carrying : float
        Energy whose reach is asked for, for teaching. [J]
    """

    stages: tuple[TipSpeed, ...]
    things: tuple[Thing, ...]
    bounce_low: float = 0.0
    bounce_high: float = 1.0
    opening: Opening | None = None
    surroundings: Surroundings = Surroundings()
    carrying: float = 1.0
