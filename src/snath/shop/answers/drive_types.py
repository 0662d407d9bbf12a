"""Hold what is answered of drives from stock, in the units of its names."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from snath.shop.answers.facts import Fact


@dataclass(frozen=True)
class SheaveAnswer:
    """The sheave at one place of the belt.

    Attributes
    ----------
    place, shaft, section : str
        Which place and shaft, and its groove.
    outside_mm, outside_in : float
        Outside diameter. [mm], [in]
    stock_number, part : str or None
        The shop's number where it comes from the shelf, and the maker's where it is theirs.
    changed : bool
        False for the one that is on now.
    """

    place: str
    shaft: str
    section: str
    outside_mm: float
    outside_in: float
    stock_number: str | None
    changed: bool
    part: str | None


@dataclass(frozen=True)
class BeltAnswer:
    """The belt.

    Attributes
    ----------
    name, section : str
        As it is sold.
    line : str
        Where its length is taken: outside, datum or other.
    length_mm : float
        That length. [mm]
    stock_number, part : str or None
        The shop's number where it comes from the shelf, and the maker's where it is theirs.
    changed : bool
        False for the one that is on now.
    """

    name: str
    section: str
    line: str
    length_mm: float
    stock_number: str | None
    changed: bool
    part: str | None


@dataclass(frozen=True)
class WayAnswer:
    """One way to see a ratio, by outside or datum diameter.

    Attributes
    ----------
    name : str
        Which.
    ratio : float
        Turns of the shaft for one of the engine.
    """

    name: str
    ratio: float


@dataclass(frozen=True)
class RatioAnswer:
    """What a shaft turns for one turn of the engine.

    Attributes
    ----------
    shaft : str
        Which.
    alternatives : tuple of WayAnswer
        Every way to see it; the worst counts.
    """

    shaft: str
    alternatives: tuple[WayAnswer, ...]


@dataclass(frozen=True)
class MovingAnswer:
    """Where the movable pulley sits.

    Attributes
    ----------
    name : str
        Which one moves.
    x_mm, y_mm : float
        Its place on the route. [mm]
    share_of_travel, share_left_stretched : float
        How much of the take-up is used, and left with the belt stretched, 0 to 1.
    """

    name: str
    x_mm: float
    y_mm: float
    share_of_travel: float
    share_left_stretched: float


@dataclass(frozen=True)
class PullsAnswer:
    """Pulls at the stated power.

    Attributes
    ----------
    tight, slack : float
        In the two runs of the belt. [N]
    static : float
        In both at rest, to which it is set. [N]
    centrifugal : float
        By the belt's own mass as it runs round. [N]
    engine_shaft : float
        Of the belt on the engine's shaft. [N]
    """

    tight: float
    slack: float
    static: float
    centrifugal: float
    engine_shaft: float


@dataclass(frozen=True)
class DriveAnswer:
    """One drive that has been worked through.

    Attributes
    ----------
    original, makers_approval_needed : bool
        Whether all that is changed is the maker's own part; else the maker has to be asked.
    check_again : tuple of Fact
        What a change leaves to be checked.
    parts_changed : int
        How many.
    sheaves : tuple of SheaveAnswer
        What sits where.
    belt : BeltAnswer
        What runs round them.
    ratios : tuple of RatioAnswer
        Every ratio in its alternatives.
    never_above_rpm, never_below_rpm, pass_below_rpm : int or None
        What they leave the engine. [rpm]
    margin : float or None
        From the engine's speed to the limit, as a share.
    moving : MovingAnswer
        Where the movable pulley sits.
    centre_mm : float or None
        Between the shafts of a plain pair. [mm]
    wraps_deg : mapping
        By place, how far the belt lies round. [deg]
    grip_margin : float or None
        What grip is left over, as a share; None where no power is stated.
    pulls_n : PullsAnswer or None
        Pulls at the stated power. [N]
    rim_speed_m_s : float
        Speed of the belt. [m/s]
    back_bends : int
        How often it is bent backwards.
    price : float
        Of what has to be taken from the shelf.
    ties : int
        How many drives are alike.
    notes : tuple of Fact
        What else has to be known.
    """

    original: bool
    makers_approval_needed: bool
    check_again: tuple[Fact, ...]
    parts_changed: int
    sheaves: tuple[SheaveAnswer, ...]
    belt: BeltAnswer
    ratios: tuple[RatioAnswer, ...]
    never_above_rpm: int | None
    never_below_rpm: int | None
    pass_below_rpm: int | None
    margin: float | None
    moving: MovingAnswer
    centre_mm: float | None
    wraps_deg: Mapping[str, float]
    grip_margin: float | None
    pulls_n: PullsAnswer | None
    rim_speed_m_s: float
    back_bends: int
    price: float
    ties: int
    notes: tuple[Fact, ...]


@dataclass(frozen=True)
class MissAnswer:
    """A drive that just fails, or one part to buy.

    Attributes
    ----------
    code, text : str
        The sentence, as a program and a reader have it.
    values : mapping
        The figures and names in it, in SI.
    buy : bool
        Whether buying that part opens a drive.
    """

    code: str
    values: Mapping[str, Any]
    text: str
    buy: bool


@dataclass(frozen=True)
class DrivesAnswer:
    """Drives from stock.

    Attributes
    ----------
    speed_rpm : float
        The engine speed they were chosen for. [rpm]
    drives : tuple of DriveAnswer
        Original parts first, then fewest parts changed.
    misses : tuple of MissAnswer
        Where there are none: what just fails, and what to buy.
    order_first : tuple of Fact
        Maker's parts on the sheet that stock does not hold.
    looked_at : int
        How many drives were tried.
    exhaustive : bool
        Whether all were.
    dropped : int
        Found by the search and not allowed by the work; more than none is a fault of the program.
    stock_faults, stock_remarks : tuple of Fact
        Rows of the stock that were left out, and what to know of others.
    """

    speed_rpm: float
    drives: tuple[DriveAnswer, ...]
    misses: tuple[MissAnswer, ...]
    order_first: tuple[Fact, ...]
    looked_at: int
    exhaustive: bool
    dropped: int
    stock_faults: tuple[Fact, ...]
    stock_remarks: tuple[Fact, ...]
