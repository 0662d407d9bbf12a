"""Fit each drive that would be shown to the machine and run it through `work`."""

from dataclasses import dataclass, replace

from snath.decisions.drive.frame import Fit
from snath.decisions.drive.layout import seat
from snath.decisions.drive.load import Load, load, rating
from snath.decisions.drive.positions import Choice, Position
from snath.decisions.drive.problem import Candidate, Problem
from snath.decisions.job.job import Job
from snath.decisions.job.work import work
from snath.decisions.machine.couplings import belt_coupling
from snath.decisions.machine.parts import CRANKSHAFT, Coupling, Machine, Part
from snath.decisions.window.window import Window
from snath.formulas.belts.grooves import least_outside
from snath.formulas.belts.speeds import rim_speed
from snath.formulas.belts.take_up import Seat
from snath.quantities.measured import exact
from snath.quantities.message import Amount, Message, term

NOT_ORIGINAL = Message("drive.not-original")
RECHECK = (
    Message("drive.recheck-stop"),
    Message("drive.recheck-keepers"),
    Message("drive.recheck-covers"),
    Message("drive.recheck-clearance"),
    Message("drive.recheck-speed"),
)


@dataclass(frozen=True, slots=True)
class Drive:
    """A drive that has been through `work`.

    Attributes
    ----------
    candidate : Candidate
    original : bool
        Whether everything changed is the machine maker's own part.
    machine : Machine
        With the drive fitted.
    window : Window
        What `work` says of that machine.
    seat : Seat
        Where the movable pulley sits with the belt at its named length.
    share_left : float
        Of the take-up, with that belt stretched.
    load : Load or None
        Pulls at the stated power.
    notes : tuple of Message
        What the mechanic must know besides.
    """

    candidate: Candidate
    original: bool
    machine: Machine
    window: Window
    seat: Seat
    share_left: float
    load: Load | None
    notes: tuple[Message, ...]


def confirmed(job: Job, problem: Problem, candidate: Candidate, fit: Fit) -> Drive | None:
    """The drive fitted and run; None where `work` does not allow the speed it was chosen for."""
    machine = fitted(job.machine, problem, candidate)
    window = work(replace(job, machine=machine)).window
    if window.ceiling is None or window.ceiling < problem.speed * (1 - 1e-9):
        return None
    if window.floor is not None and window.floor > problem.speed * (1 + 1e-9):
        return None
    placed = seat(problem, candidate.choices, candidate.belt.belt)
    return Drive(
        candidate=candidate,
        original=is_original(candidate),
        machine=machine,
        window=window,
        seat=placed,
        share_left=1 - _stretched_share(problem, candidate),
        load=load(problem, candidate, placed),
        notes=tuple(_notes(problem, candidate, window, placed, fit)),
    )


def is_original(candidate: Candidate) -> bool:
    """Whether everything that is changed is the part the machine's maker lists for that place."""
    return all(c.original for c in candidate.choices if c.changed) and (
        candidate.belt.original or not candidate.belt.changed
    )


def fitted(machine: Machine, problem: Problem, candidate: Candidate) -> Machine:
    """The machine with the candidate's sheaves in its couplings."""
    engine = candidate.choices[0]
    chosen = {p.shaft: c for p, c in zip(problem.positions, candidate.choices, strict=True) if p.shaft}
    couplings = tuple(
        _refitted(c, engine, chosen[c.driven]) if c.driven in chosen and c.driver == CRANKSHAFT else c
        for c in machine.couplings
    )
    return replace(machine, couplings=couplings)


def _refitted(coupling: Coupling, engine: Choice, driven: Choice) -> Coupling:
    first, second = coupling.parts
    return belt_coupling(
        coupling.driver,
        coupling.driven,
        driver_sheave=_part(first, engine),
        driven_sheave=_part(second, driven),
        sense=coupling.sense,
        slip_max=coupling.slip_max,
        source=coupling.source,
    )


def _part(now: Part, choice: Choice) -> Part:
    """What is there keeps its measured size, new or worn as the route has it; one from stock is as its row says."""
    if not choice.changed:
        return replace(now, sunk=(exact(0.0), exact(-choice.ride))) if choice.ride else now
    return Part(now.role, exact(choice.outside), choice.offset, choice.section, choice.part, now.pulley)


def _stretched_share(problem: Problem, candidate: Candidate) -> float:
    belt = candidate.belt.belt
    longest = replace(belt, length=(belt.length + belt.tolerance) * (1 + problem.stretch))
    return seat(problem, candidate.choices, longest).share


def _notes(problem: Problem, candidate: Candidate, window: Window, placed: Seat, fit: Fit) -> list[Message]:
    notes = []
    if window.pass_below is not None and window.pass_below < problem.speed:
        notes.append(Message("drive.proved-below", speed=Amount(window.pass_below, "rotation")))
    belt = candidate.belt.belt
    notes.append(rating(problem, candidate, placed, fit))
    notes += [
        _small(position, choice, belt.section)
        for position, choice in zip(problem.positions, candidate.choices, strict=True)
        if position.shaft and _is_small(choice, belt.section)
    ]
    return notes


def _is_small(choice: Choice, section: str) -> bool:
    least = least_outside(section)
    return least is not None and choice.outside < least.value - 1e-6


def _small(position: Position, choice: Choice, section: str) -> Message:
    least = least_outside(section)
    assert least is not None
    return Message(
        "drive.under-least",
        name=position.name,
        outside=Amount(choice.outside, "length"),
        section=section,
        least=least.printed,
        standing=term("standing", least.standing),
    )


@dataclass(frozen=True, slots=True)
class Compared:
    """A drive beside the one that is on: wrap of the engine's sheave [rad], rim speed [m/s], bends on the back."""

    wrap: float
    rim_speed: float
    back_bends: int


def compared(problem: Problem, choices: tuple[Choice, ...], drive_seat: Seat) -> Compared:
    """What to compare where no rating holds."""
    return Compared(
        wrap=drive_seat.route.wrap(problem.positions[0].name),
        rim_speed=rim_speed(rotation=problem.speed, diameter=choices[0].outside),
        back_bends=sum(p.contact == "flat back" for p in problem.positions),
    )
