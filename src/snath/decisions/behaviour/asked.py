"""Hold what was asked and measured of a machine besides its speed: plain data, to be judged elsewhere."""

from dataclasses import dataclass
from typing import Literal

from snath.decisions.behaviour.setting_input import SettingInput
from snath.decisions.behaviour.thrown import ThrowInput
from snath.formulas.signals.candidates import Track
from snath.quantities.measured import Measured

State = Literal["open", "done", "fault", "does not apply"]
StageName = Literal["as found", "as left"]
Load = Literal["no load", "loaded"]


@dataclass(frozen=True, slots=True)
class Mark:
    """What the bench put down for one check.

    `note` says what is wrong; `put_right` what was done about a fault, and `by` who did it.
    """

    check: str
    state: State
    note: str = ""
    put_right: str = ""
    by: str = ""


@dataclass(frozen=True, slots=True)
class ChecklistInput:
    """The marks of a job, and why it can't be set here, if so.

    Attributes
    ----------
    marks : tuple of Mark
    not_adjustable : str
        Id of the reason why nothing can be set here; empty where it can.
    seals : str
        Seals, limiter caps and warranty, as found.
    in_order : tuple of str
        Stages before which everything on the list "before it runs" was looked at and found in order, but for
        what is marked by itself.
    """

    marks: tuple[Mark, ...] = ()
    not_adjustable: str = ""
    seals: str = ""
    in_order: tuple[StageName, ...] = ()


@dataclass(frozen=True, slots=True)
class Alternator:
    """What turns speed into frequency.

    Attributes
    ----------
    poles : int
        Even, 2 or more.
    rated_frequency : float
        On its plate. [Hz]
    inverter : bool
        True where its frequency is made electronically.
    """

    poles: int = 2
    rated_frequency: float = 60.0
    inverter: bool = False


@dataclass(frozen=True, slots=True)
class GovernorInput:
    """What was typed or recorded about a governor; every part may be missing, not all of them.

    Attributes
    ----------
    no_load, loaded : Measured or None
        Two typed speeds of one shaft. [rev/s]
    track : Track or None
        Speed over time with its changes of load marked "load on" and "load off".
    track_load : str
        Under which load a track without a mark was taken.
    load_w, rated_w : float or None
        Load that was put on, and the set's rated output. [W]
    alternator : Alternator or None
    """

    no_load: Measured | None = None
    loaded: Measured | None = None
    track: Track | None = None
    track_load: Load = "no load"
    load_w: float | None = None
    rated_w: float | None = None
    alternator: Alternator | None = None


@dataclass(frozen=True, slots=True)
class StopInput:
    """One stop test.

    Attributes
    ----------
    track : Track
        With its "release" marked, and "standstill" where it was seen.
    blade_shaft : str
        Shaft the blade sits on.
    device : str
        How it is stopped, see `devices`.
    maker_limit : float or None
        Of the maker's manual; None not known. [s]
    maker_source : str
        Manual, edition and page.
    u_release, u_standstill : float
        Standard uncertainty of the marks. [s]
    """

    track: Track
    blade_shaft: str
    device: str
    maker_limit: float | None = None
    maker_source: str = ""
    u_release: float = 0.1
    u_standstill: float = 0.05


@dataclass(frozen=True, slots=True)
class BalanceInput:
    """A blade and what is wrong with it, SI.

    Attributes
    ----------
    mass : float
        Of the blade. [kg]
    missing, missing_radius : float
        The bit that is missing (or too much), and where. [kg], [m]
    tip_radius, grind_radius : float
        Half the tip circle, and where the heavy end would be ground. [m]
    rotation : float
        Highest speed of its shaft. [rev/s]
    grade : str
        Balance quality grade to hold it against.
    mover, mover_radius : float or None
        Smallest bit that moves this shop's balancer, and where it was laid. [kg], [m]
    hole_play : float
        Hole less spindle, on diameter. [m]
    machine_mass : float or None
        [kg]
    """

    mass: float
    missing: float
    missing_radius: float
    tip_radius: float
    grind_radius: float
    rotation: float
    grade: str = "G16"
    mover: float | None = None
    mover_radius: float | None = None
    hole_play: float = 0.0
    machine_mass: float | None = None


@dataclass(frozen=True, slots=True)
class BehaviourInput:
    """What was asked and measured besides the speed; None where nothing was.

    `setting` takes target, band and ceiling from the window where it has them. `throw` without stages of its
    own takes the tip speeds found, left and allowed.
    """

    governor_found: GovernorInput | None = None
    governor_left: GovernorInput | None = None
    setting: SettingInput | None = None
    stop: StopInput | None = None
    throw: ThrowInput | None = None
    balance: BalanceInput | None = None
    checklist: ChecklistInput | None = None
    wanted_loaded: Measured | None = None  # crankshaft speed under load the customer asks for [rev/s]
