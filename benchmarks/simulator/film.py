"""What a phone films of a marked part or of a panel under a flash: shutter, row by row, and noise."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from benchmarks.simulator.ride import Array, Ride

Stamps = Literal["even", "uneven", "rounded"]
ROUNDING = 0.001  # s, as WebM and some phones stamp their frames


@dataclass(frozen=True, slots=True)
class Camera:
    """How it is filmed.

    Attributes
    ----------
    rate : float
        Frames a second. [1/s]
    stamps : str
        "even" times truly stamped, "uneven" times truly stamped, "rounded" stamps of even times.
    unevenness : float
        Standard deviation of a frame's moment where they are uneven, as a share of the frame time.
    exposure_s, readout_s : float
        How long each row is open, and how much later the last row is taken than the first. [s]
    size : (int, int)
        Rows and columns. [1]
    noise : float
        Standard deviation of a point's brightness, out of 255.
    """

    rate: float
    stamps: Stamps = "even"
    unevenness: float = 0.06
    exposure_s: float = 0.001
    readout_s: float = 0.01
    size: tuple[int, int] = (120, 160)
    noise: float = 4.0


@dataclass(frozen=True, slots=True)
class Part:
    """What turns: places of its marks round the turn, their width, the part's place in the picture.

    Attributes
    ----------
    marks : tuple of float
        Places round the turn. [turn]
    width : float
        [turn]
    radius : (float, float)
        Where the marks begin and end, in picture heights.
    centre : (float, float)
        Row and column, as shares of the picture.
    contrast : float
        What a mark adds to the brightness, out of 255.
    tilt, towards : float
        Angle by which the part leans away from the camera, and on which side it does. [rad], [turn]
    near : float
        Picture heights over the distance from lens to part: 0 is filmed from very far.
    """

    marks: tuple[float, ...] = (0.0,)
    width: float = 0.06
    radius: tuple[float, float] = (0.15, 0.42)
    centre: tuple[float, float] = (0.5, 0.5)
    contrast: float = 110.0
    tilt: float = 0.0
    towards: float = 0.0
    near: float = 0.0


@dataclass(frozen=True, slots=True)
class Panel:
    """What stands still and is lit all at once by a lamp that flashes at places of the turn.

    Attributes
    ----------
    marks : tuple of float
        Places of the turn at which the lamp flashes. [turn]
    width : float
        How much of a turn a flash lasts. [turn]
    rows, columns : (float, float)
        Where in the picture it begins and ends, as shares.
    contrast : float
        What the flash adds to the brightness, out of 255.
    """

    marks: tuple[float, ...] = (0.0,)
    width: float = 0.06
    rows: tuple[float, float] = (0.2, 0.8)
    columns: tuple[float, float] = (0.3, 0.7)
    contrast: float = 110.0


def moments(camera: Camera, seconds: float, generator: np.random.Generator) -> tuple[Array, Array]:
    """When the frames really began, and what their stamps say. [s]"""
    even = np.arange(round(seconds * camera.rate)) / camera.rate
    if camera.stamps == "uneven":
        shaken = even + camera.unevenness / camera.rate * generator.standard_normal(len(even))
        shaken = np.maximum.accumulate(np.clip(shaken, 0, None))
        return shaken, shaken
    if camera.stamps == "rounded":
        return even, np.round(even / ROUNDING) * ROUNDING
    return even, even


def pictures(
    going: Ride, part: Part | Panel, camera: Camera, began: Array, generator: np.random.Generator
) -> Iterator[NDArray[np.uint8]]:
    """The frames that began at these moments."""
    rows, columns = camera.size
    y, x = np.mgrid[0:rows, 0:columns]
    place, inside = _in_step(part, y, x, camera) if isinstance(part, Panel) else _round(part, y, x, camera)
    ahead = [-mark for mark in part.marks] if isinstance(part, Panel) else part.marks
    scene = 90 + 40 * np.sin(x / 17.0) * np.cos(y / 11.0)
    later = np.arange(rows)[:, None] / rows * camera.readout_s
    for moment in began:
        opened = going.turns_at(moment + later)
        shut = going.turns_at(moment + later + camera.exposure_s)
        covered = sum(passed(place, opened + mark, shut + mark, part.width) for mark in ahead)
        picture = scene + part.contrast * np.where(inside, covered, 0)
        picture += camera.noise * generator.standard_normal(picture.shape)
        yield np.clip(picture, 0, 255).astype(np.uint8)


def _round(part: Part, y: Array, x: Array, camera: Camera) -> tuple[Array, NDArray[np.bool_]]:
    """Place round the turn of what is seen at each point, and whether a mark comes by there."""
    rows, columns = camera.size
    right = (x - part.centre[1] * columns) / rows
    down = (y - part.centre[0] * rows) / rows
    cos, sin = np.cos(2 * np.pi * part.towards), np.sin(2 * np.pi * part.towards)
    ahead, aside = cos * right + sin * down, cos * down - sin * right
    # A point of the disc that lies b towards the lean is further away by b sin tilt, and seen so much smaller.
    along = ahead / (np.cos(part.tilt) - ahead * part.near * np.sin(part.tilt))
    across = aside * (1 + along * part.near * np.sin(part.tilt))
    radius = np.hypot(along, across)
    inside = (radius > part.radius[0]) & (radius < part.radius[1])
    return (np.arctan2(across, along) / (2 * np.pi) + part.towards) % 1, inside


def _in_step(panel: Panel, y: Array, x: Array, camera: Camera) -> tuple[Array, NDArray[np.bool_]]:
    """The same for a panel: every point of it is lit at the same place of the turn."""
    rows, columns = camera.size
    inside = (y >= panel.rows[0] * rows) & (y < panel.rows[1] * rows)
    inside &= (x >= panel.columns[0] * columns) & (x < panel.columns[1] * columns)
    return np.zeros(camera.size), inside


def passed(place: Array, opened: Array, shut: Array, width: float) -> Array:
    """Share of the exposure during which a mark that moved from `opened` to `shut` covered each place."""
    smear = np.maximum(shut - opened, 1e-9)
    ahead = (place - opened + width / 2) % 1  # how far the mark's trailing edge lies behind the place
    first = np.clip(ahead - width, 0, smear)
    last = np.clip(ahead, 0, smear)
    return np.asarray((last - first) / smear, dtype=np.float64)
