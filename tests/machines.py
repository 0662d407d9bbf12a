"""Machines of our own invention, small enough to work by hand."""

from dataclasses import replace

from snath.decisions.behaviour.asked import BehaviourInput, ChecklistInput
from snath.decisions.job.assemble import job_for
from snath.decisions.job.job import Job
from snath.decisions.machine.couplings import belt_coupling, sheave
from snath.decisions.machine.parts import (
    CRANKSHAFT,
    Coupling,
    Engine,
    Machine,
    MakerFigure,
    Member,
    Size,
)
from snath.quantities.measured import Line, Measured, exact
from snath.rules.load import shipped_rules

INCH = 0.0254
RPM = 1 / 60
WALK_BEHIND = "walk-behind rotary mower"
RIDER = "ride-on rotary mower"


def inches(value: float, half_width: float = 0.0, source: str = "tape") -> Measured:
    lines = (Line(source, half_width * INCH / 3**0.5, None, "rectangular"),) if half_width else ()
    return Measured(value * INCH, lines)


def rpm(value: float, u: float = 0.0, source: str = "reading", dof: float | None = None) -> Measured:
    return Measured(value * RPM, (Line(source, u * RPM, dof),) if u else ())


def blade(size: Measured, shaft: str = CRANKSHAFT, name: str = "blade") -> Member:
    return Member(name, shaft, "blade", (Size("as it is", size),))


def figure(value: float, tolerance: float = 100, condition: str = "blades in air") -> MakerFigure:
    return MakerFigure(value * RPM, tolerance * RPM, condition, "manual")


def direct(size: Measured, **engine: object) -> Machine:
    """One blade on the crankshaft."""
    return Machine("walk-behind", WALK_BEHIND, Engine(strokes=4, cylinders=1, **engine), (), (blade(size),))


def a_belt(driven: str, od_driver: float, od_driven: float, *, driver: str = CRANKSHAFT) -> Coupling:
    """An A belt over two sheaves by their outside diameters in inches."""
    return belt_coupling(
        driver,
        driven,
        driver_sheave=sheave("driver sheave", section="A", outside=exact(od_driver * INCH)),
        driven_sheave=sheave("driven sheave", section="A", outside=exact(od_driven * INCH)),
        slip_max=0.02,
    )


def deck(sizes: dict[str, tuple[float, float, float]], **engine: object) -> Machine:
    """A rider deck: spindle name to (blade, driver sheave, driven sheave), all in inches."""
    couplings = tuple(a_belt(name, driver, driven) for name, (_, driver, driven) in sizes.items())
    blades = tuple(blade(exact(size * INCH), name, f"{name} blade") for name, (size, _, _) in sizes.items())
    return Machine("rider", RIDER, Engine(strokes=4, cylinders=2, **engine), couplings, blades)


CHECKED = BehaviourInput(checklist=ChecklistInput(in_order=("as found", "as left")))


def job(machine: Machine, **more: object) -> Job:
    """A job on a machine that was checked before it ran, found and left."""
    return replace(job_for(machine, shipped_rules(), **more), behaviour=CHECKED)
