"""Describe a machine: engine, shafts, couplings, and the members that must not run too fast."""

from dataclasses import dataclass
from typing import Literal

from snath.quantities.measured import Measured
from snath.quantities.message import Message

CRANKSHAFT = "crankshaft"
BY_TEETH = "by teeth"  # how a ratio of gears is seen

PrimeMover = Literal["engine", "mains motor", "battery motor"]
Ignition = Literal["wasted spark", "spark every cycle", "double spark", "no spark"]
GovernorKind = Literal["mechanical", "air vane", "electronic", "none"]
Condition = Literal["blades off", "blades in air", "cutting", "peak", "idle"]
TakenSize = Literal["length", "width", "arms", "diameter", "driver sheave", "driven sheave"]
CouplingKind = Literal["direct", "belt", "gear", "chain", "counted", "two readings", "variable"]


@dataclass(frozen=True, slots=True)
class MakerFigure:
    """The equipment maker's no-load speed, with the condition it was meant for.

    Attributes
    ----------
    rev_s, tolerance : float
        Crankshaft speed and its plus-or-minus. [rev/s]
    condition : str
        "blades off" or "blades in air".
    source : str
        Manual, edition and page.
    tolerance_from : str
        Empty where the maker prints it; "assumed" where he prints none, "shop" where the shop set its own.
    """

    rev_s: float
    tolerance: float
    condition: Condition
    source: str = ""
    tolerance_from: str = ""


@dataclass(frozen=True, slots=True)
class Engine:
    """What turns the crankshaft. Speeds in rev/s; None where the sheet does not say.

    `firings` are the places in the working cycle where a cylinder fires, fractions from 0 up to 1;
    `droop` is (no-load minus loaded) over loaded speed, at full load.
    """

    prime_mover: PrimeMover = "engine"
    code: str = ""
    strokes: int | None = None
    cylinders: int | None = None
    firings: tuple[float, ...] | None = None
    ignition: Ignition | None = None
    governor: GovernorKind = "mechanical"
    rated_max: float | None = None
    rated_min: float | None = None
    idle: float | None = None
    droop: float | None = None
    maker_no_load: MakerFigure | None = None
    # a speed the machine's maker allows at most: a limit, without tolerance
    maker_most: MakerFigure | None = None
    clutch: bool = False  # engaged by hand: the members can be disengaged while the engine runs
    centrifugal: bool = False  # engaged by speed: above idle the members always turn along

    @property
    def electric(self) -> bool:
        """Whether a motor drives it: no spark, no fuel, no idle, and a plug or a battery to pull."""
        return self.prime_mover != "engine"


@dataclass(frozen=True, slots=True)
class Ratio:
    """One way to see a coupling: driven over driver speed, and the name of that way (text from a kept job).

    Attributes
    ----------
    name : Message or str
        What this way is called.
    value : Measured
        Driven over driver speed. [1]
    circles : tuple of two floats, or none
        Driver and driven, of which it is the quotient: circles [m] of a belt, teeth [1] of gears.
    """

    name: Message | str
    value: Measured
    circles: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class Part:
    """A replaceable piece of a coupling, as measured or stamped.

    Attributes
    ----------
    role : str
        "driver sheave", "driven sheave", "driver gear", "driven gear".
    size : Measured
        Outside diameter of a sheave [m], or number of teeth.
    datum_offset : float or None
        Outside less datum diameter of its groove. [m]
    section : str
        Belt section of its groove; empty for teeth.
    maker_part : str
        The machine maker's part number, where known.
    pulley : str
        What the sheet calls this very piece of iron: parts of one name are one piece, on which several belts run.
    sunk : tuple of Measured
        How deep the belt's top lies under the rim, along the radius, as alternatives; negative where it stands
        above, and none for flush. [m]
    """

    role: str
    size: Measured
    datum_offset: float | None = None
    section: str = ""
    maker_part: str = ""
    pulley: str = ""
    sunk: tuple[Measured, ...] = ()


@dataclass(frozen=True, slots=True)
class Coupling:
    """A joint between two shafts; to the window it is no more than its ratios.

    Attributes
    ----------
    driver, driven : str
        Shaft names.
    alternatives : tuple of Ratio
        A handful of ways to see it, the worst of which counts. At least one.
    sense : int
        +1 turns the same way, -1 the other.
    slip_max : float or None
        Largest slip under load, as a fraction; stated by the shop, never assumed.
    source : str
        Where the ratio comes from.
    parts : tuple of Part
        What could be exchanged.
    kind : str
        How it drives.
    """

    driver: str
    driven: str
    alternatives: tuple[Ratio, ...]
    sense: int = 1
    slip_max: float | None = None
    source: str = ""
    parts: tuple[Part, ...] = ()
    kind: CouplingKind = "direct"


@dataclass(frozen=True, slots=True)
class Size:
    """One size a member may have.

    Attributes
    ----------
    name : str
        "as it is", "new, largest the maker lists".
    diameter : Measured
        As it measures. [m]
    longer : float
        By how much it is longer than it measures on average: twice the larger of two arms is. [m]
    """

    name: str
    diameter: Measured
    longer: float = 0.0


@dataclass(frozen=True, slots=True)
class Member:
    """Something on a shaft that has a limit.

    Attributes
    ----------
    name, shaft : str
        What it is called and where it sits.
    kind : str
        Which kind of limit the rule book looks for, one of `rules.kinds`.
    sizes : tuple of Size
        Tip circle or wheel diameter in its alternatives; empty where diameter does not matter.
    poles : int or None
        Of an alternator.
    speed_max, speed_min : float or None
        Marked on the part: shaft speed it may or must have. [rev/s]
    frequency_max, frequency_min : float or None
        Band of an alternator. [Hz]
    surface_max : float or None
        Marked on the part, as on a cut-off wheel. [m/s]
    source : str
        Where its own limits are marked or printed.
    inverter : bool
        Its frequency is made electronically and says nothing about speed.
    marked_class : str
        Class marked on a wheel ("80 m/s") or plated on a set ("G2"); the rule book's rows for it bind.
    unlimited : str
        Why nothing limits its speed, as the sheet states it; empty where it states nothing.
    """

    name: str
    shaft: str
    kind: str
    sizes: tuple[Size, ...] = ()
    poles: int | None = None
    speed_max: float | None = None
    speed_min: float | None = None
    frequency_max: float | None = None
    frequency_min: float | None = None
    surface_max: float | None = None
    source: str = ""
    inverter: bool = False
    marked_class: str = ""
    unlimited: str = ""


@dataclass(frozen=True, slots=True)
class Taken:
    """What was taken for a machine because its sheet does not say it.

    Attributes
    ----------
    kind : str
        "plus-or-minus" of a measured length, "bar width" of a blade nobody said how to measure, or "ride" of a
        belt nobody looked at.
    name, size : str
        Of what: the member and which of its sizes, or the driven shaft and which of its sheaves.
    value : float
        What was taken: half width, width, or the depth it may reach. [m]
    """

    kind: Literal["plus-or-minus", "bar width", "ride"]
    name: str
    size: TakenSize
    value: float


@dataclass(frozen=True, slots=True)
class Machine:
    """One machine as the sheet describes it; a valid tree rooted at the crankshaft.

    `kind`, `use` and `product` are the rule book's scope words ("walk-behind rotary mower"; "at home" or "at
    work"; "consumer" or "commercial", empty where its kind says it); `made` is the year or the month as
    "1982-07", None unknown. `cutting_width` [m], `weight` [kg] and the engine's `power` [W] are what some rules
    ask of a machine; `taken` is what its sheet left unsaid, `metric` whether its
    lengths are written in metric units.
    """

    name: str
    kind: str
    engine: Engine
    couplings: tuple[Coupling, ...] = ()
    members: tuple[Member, ...] = ()
    use: str = "at home"
    made: int | str | None = None
    serial: str = ""
    notes: str = ""
    product: str = ""
    cutting_width: float | None = None
    weight: float | None = None
    power: float | None = None
    taken: tuple[Taken, ...] = ()
    metric: bool = False

    @property
    def shafts(self) -> tuple[str, ...]:
        """The crankshaft and every driven shaft, in the sheet's order."""
        return (CRANKSHAFT, *(coupling.driven for coupling in self.couplings))
