"""Work out what a blade can throw, as found, as left and at the limit: energies for everybody, distances to teach.

Distances are ranges over what is not known: how squarely it was struck, where out, how rough it is. They
are never a distance at which it is clear to stand, and never go on a customer's paper.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from snath.decisions.behaviour.criteria import Compared, compared
from snath.decisions.behaviour.ranges import shown_within
from snath.decisions.behaviour.throw_reach import Reach, reaches
from snath.decisions.behaviour.thrown import Opening, ThrowInput
from snath.formulas.throwing.body import sphere_diameter
from snath.formulas.throwing.energy import drop_height, kinetic_energy
from snath.formulas.throwing.launch import launch_speed, opening_elevations
from snath.quantities.constants import STANDARD_GRAVITY
from snath.quantities.errors import InputError, within
from snath.quantities.message import Amount, Message
from snath.quantities.units import show

HAMMER = 1.0  # kg
KEEP_AWAY = Message("throw.keep-away")
ONLY_SQUARE = Message("throw.only-square")
NOT_CLEAR = Message("throw.not-clear")


@dataclass(frozen=True, slots=True)
class Carried:
    """One thing at one stage: fit for a customer's paper.

    Attributes
    ----------
    thing, stage : str
    leaves_low, leaves_high : float
        Speed of a squarely struck light thing, over the bounce given; all others leave slower. [m/s]
    energy_low, energy_high : float
        [J]
    beside_first : float
        Energy over that at the first stage. [1]
    hammer : float
        Height from which a hammer of one kilogram carries `energy_low`. [m]
    low, high : tuple of Compared
        Beside the published figures, at both speeds.
    """

    thing: str
    stage: str
    leaves_low: float
    leaves_high: float
    energy_low: float
    energy_high: float
    beside_first: float
    hammer: float
    low: tuple[Compared, ...]
    high: tuple[Compared, ...]


@dataclass(frozen=True, slots=True)
class ThrowResult:
    """Energies for everybody; `training` stays on mechanics' and training screens."""

    carried: tuple[Carried, ...]
    training: tuple[Reach, ...]
    elevations: tuple[float, float] | None
    notes: tuple[Message, ...]


def judge_throw(given: ThrowInput) -> ThrowResult:
    """Energies of every thing at every stage, and how far it could get out of the opening.

    Raises
    ------
    InputError
        If there is no stage or thing, a value is out of range, or the bounce is upside down.
    """
    _refuse_nonsense(given)
    angles = None
    if given.opening is not None:
        place = given.opening
        low, high = opening_elevations(
            struck_height=place.struck_height,
            edge_distance=place.edge_distance,
            edge_low=place.edge_low,
            edge_high=place.edge_high,
        )
        angles = float(low), float(high)
    training = () if angles is None else tuple(reaches(given, angles))
    return ThrowResult(
        carried=tuple(_carried(given)),
        training=training,
        elevations=angles,
        notes=(ONLY_SQUARE, KEEP_AWAY, *((NOT_CLEAR,) if training else ())),
    )


def _refuse_nonsense(given: ThrowInput) -> None:
    if not given.stages:
        raise InputError("tip speed", "none", Message("throw.needs-stage"))
    if not given.things:
        raise InputError("thing", "none", Message("throw.needs-thing"))
    for stage in given.stages:
        within("tip_speed", stage.tip_speed, 0, 500, "m/s", open_low=True)
    for thing in given.things:
        shown_within("mass", thing.mass, 0, 20_000, "g", open_low=True)
    for name in ("bounce_low", "bounce_high"):
        within(name, getattr(given, name), 0, 1)
    if given.bounce_high < given.bounce_low:
        raise InputError(
            "bounce_high", given.bounce_high, Message("throw.least-bounce", low=given.bounce_low)
        )
    shown_within("slope", given.surroundings.slope, -57, 57, "deg")
    if given.opening is not None:
        _refuse_opening(given.opening)


def _refuse_opening(place: Opening) -> None:
    """An opening whose edges cannot be, in the unit they are measured in."""
    for name, most in (
        ("struck_height", 2000),
        ("edge_distance", 3000),
        ("edge_low", 3000),
        ("edge_high", 3000),
    ):
        shown_within(name, getattr(place, name), 0, most, "mm", open_low=name == "edge_distance")
    if place.edge_high < place.edge_low:
        least = Message("throw.lower-edge", low=Amount(place.edge_low, "length"))
        raise InputError("edge_high", show(place.edge_high, "mm", digits=0), least)


def _carried(given: ThrowInput) -> Iterator[Carried]:
    first = given.stages[0].tip_speed
    for thing in given.things:
        diameter = float(sphere_diameter(mass=thing.mass, density=thing.density))
        for stage in given.stages:
            low, high = (
                float(launch_speed(tip_speed=stage.tip_speed, restitution=bounce))
                for bounce in (given.bounce_low, given.bounce_high)
            )
            energy = float(kinetic_energy(mass=thing.mass, speed=low))
            yield Carried(
                thing=thing.name,
                stage=stage.stage,
                leaves_low=low,
                leaves_high=high,
                energy_low=energy,
                energy_high=float(kinetic_energy(mass=thing.mass, speed=high)),
                beside_first=(stage.tip_speed / first) ** 2,
                hammer=float(drop_height(energy=energy, mass=HAMMER, gravity=float(STANDARD_GRAVITY))),
                low=compared(mass=thing.mass, diameter=diameter, speed=low),
                high=compared(mass=thing.mass, diameter=diameter, speed=high),
            )
