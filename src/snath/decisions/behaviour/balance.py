"""Judge the balance of a blade: its unbalance, the force it pulls with, and what to grind off."""

from collections.abc import Iterator
from dataclasses import dataclass

from snath.decisions.behaviour.asked import BalanceInput
from snath.decisions.behaviour.ranges import shown_within, turning
from snath.formulas.balance.grade import grade_named, grade_reached, permissible_unbalance
from snath.formulas.balance.unbalance import (
    grind_off,
    hole_play_unbalance,
    unbalance,
    unbalance_force,
    weight_ratio,
)
from snath.quantities.constants import STANDARD_GRAVITY
from snath.quantities.errors import InputError, within
from snath.quantities.message import Message, term

GRADE_STANDING = Message("balance.grade-standing")
CONE = Message("balance.cone")
CAUTION = Message("balance.caution")


@dataclass(frozen=True, slots=True)
class BalanceResult:
    """What it pulls with, and what the grade would allow.

    Attributes
    ----------
    unbalance, permitted : float
        [kg m]
    force, permitted_force : float
        Turning with the shaft, on its bearings and the frame. [N]
    beside_blade, beside_machine : float
        Force over the weight of blade and machine; the second None without its mass. [1]
    grade : str
    grade_standing : Message
    reached : float
        The figure this unbalance stands for. [m/s]
    within_grade : bool
    permitted_at_tip, grind : float
        Mass at the tip that the grade permits; mass to grind off the other end. [kg]
    balancer_floor : float or None
        Smallest unbalance this balancer shows. [kg m]
    balancer_enough : bool or None
        Whether that is under what the grade permits.
    play_unbalance : float
        The share a loose hole adds, unseen on a cone. [kg m]
    notes : tuple of str
    """

    unbalance: float
    permitted: float
    force: float
    permitted_force: float
    beside_blade: float
    beside_machine: float | None
    grade: str
    grade_standing: Message
    reached: float
    within_grade: bool
    permitted_at_tip: float
    grind: float
    balancer_floor: float | None
    balancer_enough: bool | None
    play_unbalance: float
    notes: tuple[Message, ...]


def judge_balance(given: BalanceInput) -> BalanceResult:
    """Everything about one blade's balance. It is shown, and decides no verdict.

    Raises
    ------
    InputError
        If the grade is unknown or a value is out of its range.
    """
    _refuse_nonsense(given)
    grade = grade_named(given.grade)
    there = float(unbalance(mass=given.missing, radius=given.missing_radius))
    play = float(hole_play_unbalance(mass=given.mass, play=given.hole_play))
    permitted = float(
        permissible_unbalance(grade_velocity=grade.velocity, rotation=given.rotation, mass=given.mass)
    )
    force = float(unbalance_force(unbalance=there, rotation=given.rotation))
    floor = None
    if given.mover is not None and given.mover_radius is not None:
        floor = float(unbalance(mass=given.mover, radius=given.mover_radius))
    enough = None if floor is None else floor <= permitted
    return BalanceResult(
        unbalance=there,
        permitted=permitted,
        force=force,
        permitted_force=float(unbalance_force(unbalance=permitted, rotation=given.rotation)),
        beside_blade=_beside(force, given.mass),
        beside_machine=None if given.machine_mass is None else _beside(force, given.machine_mass),
        grade=grade.id,
        grade_standing=Message(
            "balance.grade",
            grade=grade.id,
            printed=grade.printed,
            used_for=term("grade", grade.id),
            source=grade.source,
            standing=term("standing", grade.standing),
        ),
        reached=float(grade_reached(unbalance=there, mass=given.mass, rotation=given.rotation)),
        within_grade=there <= permitted,
        permitted_at_tip=float(grind_off(unbalance=permitted, radius=given.tip_radius)),
        grind=float(grind_off(unbalance=there, radius=given.grind_radius)),
        balancer_floor=floor,
        balancer_enough=enough,
        play_unbalance=play,
        notes=tuple(_notes(enough, play > permitted)),
    )


def _refuse_nonsense(given: BalanceInput) -> None:
    within("mass", given.mass, 0, 20, "kg", open_low=True)
    shown_within("missing", given.missing, 0, 1000 * given.mass, "g")
    shown_within("blade", 2 * given.tip_radius, 0, 5000, "mm", open_low=True)
    tip = 1000 * given.tip_radius
    shown_within("missing_radius", given.missing_radius, 0, tip, "mm")
    shown_within("grind_radius", given.grind_radius, 0, tip, "mm", open_low=True)
    turning("speed", given.rotation)
    shown_within("hole_play", given.hole_play, 0, 20, "mm")
    if given.machine_mass is not None:
        within("machine_mass", given.machine_mass, 0, 1000, "kg", open_low=True)
    if given.mover is not None:
        shown_within("mover", given.mover, 0, 1000 * given.mass, "g", open_low=True)
    if given.mover_radius is not None:
        shown_within("mover_radius", given.mover_radius, 0, 2 * tip, "mm", open_low=True)
    if (given.mover is None) != (given.mover_radius is None):
        lacking = "mover" if given.mover is None else "mover_radius"
        raise InputError(lacking, "nothing", Message("balance.mover-both"))


def _beside(force: float, mass: float) -> float:
    return float(weight_ratio(force=force, mass=mass, gravity=float(STANDARD_GRAVITY)))


def _notes(enough: bool | None, loose: bool) -> Iterator[Message]:
    yield GRADE_STANDING
    yield CONE
    if enough is False:
        yield Message("balance.not-fine-enough")
    if loose:
        yield Message("balance.hole-play")
    yield CAUTION
