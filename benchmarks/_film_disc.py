"""Render films of a disc with painted marks, point by point from its geometry, for judging the reader of films.

It shares no module with the reader, with the simulator or with `_film_pulley`.
"""

import io
from collections.abc import Iterable, Iterator
from fractions import Fraction

import av
import numpy as np
from scipy.ndimage import map_coordinates

ROWS, COLUMNS = 144, 192
GRID = 0.0004  # s between points of the course of the angle
GRAIN = 1 << 20  # points of noise, of which each picture takes its own stretch
MARGIN = 16  # points of scene round the picture, for shake


def render(
    scene: dict, generator: np.random.Generator
) -> tuple[np.ndarray, Iterator[np.ndarray], np.ndarray, np.ndarray]:
    """A film, and its angle: stamps, pictures, and moments and turns done, by the clock on which it was taken."""
    grid, turns = _course(scene, generator)
    began, stamped = _moments(scene, generator)
    if scene["play_rate"]:
        stamped = np.arange(len(began)) / scene["play_rate"]
    return stamped, _pictures(scene, grid, turns, began, generator), grid, turns


def _course(scene: dict, generator: np.random.Generator) -> tuple[np.ndarray, np.ndarray]:
    grid = np.arange(-0.1, scene["seconds"] + 0.3, GRID)
    middle, kind = scene["seconds"] / 2, scene["profile"]
    share = np.zeros_like(grid)
    if kind == "drift":
        share = generator.uniform(-0.02, 0.02) * (grid - middle) / scene["seconds"]
    elif kind == "hunting":
        swing, rate = generator.uniform(0.005, 0.03), generator.uniform(0.4, 2.5)
        share = swing * np.sin(2 * np.pi * (rate * grid + generator.random()))
    elif kind == "step":
        at, size = middle * generator.uniform(0.7, 1.3), generator.uniform(-0.12, -0.04)
        share = np.where(grid > at, size * (1 - np.exp(-np.maximum(grid - at, 0) / 0.15)), 0.0)
    speed = scene["rev_s"] * (1 + share)
    cycle = np.floor(np.cumsum(speed) * GRID / 2).astype(int)
    each = generator.normal(0, 0.004, cycle[-1] + 2)  # one working cycle runs a little faster than the next
    speed = speed * (1 + each[cycle])
    return grid, generator.random() + np.cumsum(speed) * GRID


def _moments(scene: dict, generator: np.random.Generator) -> tuple[np.ndarray, np.ndarray]:
    even = np.arange(int(scene["seconds"] * scene["rate"])) / scene["rate"]
    if scene["stamps"].startswith("uneven"):
        most = 0.45 / scene["rate"]
        even = even + np.clip(generator.normal(0, scene["jitter_s"], len(even)), -most, most)
        even -= min(even[0], 0.0)
    stamped = np.round(even, 3) if scene["stamps"].endswith("rounded") else even
    return even, stamped


def _scene_picture(generator: np.random.Generator) -> np.ndarray:
    """A bench with boards, a shadow and a few hard edges."""
    y, x = np.mgrid[0 : ROWS + 2 * MARGIN, 0 : COLUMNS + 2 * MARGIN]
    scene = 95 + 25 * np.sin(x / generator.uniform(9, 25) + generator.uniform(0, 6)) + 0.15 * (y - 80)
    for _ in range(5):
        top, left = generator.integers(0, ROWS), generator.integers(0, COLUMNS)
        scene[top : top + generator.integers(8, 50), left : left + generator.integers(8, 60)] += (
            generator.uniform(-45, 45)
        )
    return scene


def _pictures(scene, grid, turns, began, generator):
    ground = _scene_picture(generator)
    rows = np.arange(ROWS)
    late = rows / ROWS * scene["readout_s"]
    outer = ROWS * generator.uniform(0.24, 0.42)
    inner = outer * generator.uniform(0.25, 0.7)
    centre = ROWS * generator.uniform(0.44, 0.56), COLUMNS * generator.uniform(0.4, 0.6)
    half = generator.uniform(0.02, 0.05)
    ahead = np.arange(scene["marks"]) / scene["marks"]
    ahead = ahead + generator.normal(0, 0.004, len(ahead)) * (len(ahead) > 1)  # painted by hand
    strength = scene["contrast"] * (1 + generator.uniform(-0.1, 0.1, len(ahead)))
    if generator.random() < 0.3:
        strength = -strength
    tone = generator.uniform(70, 130)
    swing = _shaking(scene, began, generator)
    pump = scene["pumping"] * np.sin(2 * np.pi * (scene["pumping_hz"] * began + generator.random()))
    sense = generator.choice([-1, 1])
    lamp_start = generator.random()
    y, x = np.mgrid[0:ROWS, 0:COLUMNS]

    def standing(down, right):
        """The ground and the bare disc, and of the points where a mark may come by: which, how much, where."""
        at = [y + MARGIN - down, x + MARGIN - right]
        picture = map_coordinates(ground, at, order=1, mode="nearest")
        dy, dx = y - centre[0] - down, x - centre[1] - right
        radius = np.hypot(dy, dx)
        cover = np.clip(outer - radius + 0.5, 0, 1)  # a soft edge of one point
        soft = (cover * np.clip(radius - inner + 0.5, 0, 1)).ravel()
        band = np.flatnonzero(soft > 0)
        place = sense * np.arctan2(dy.ravel()[band], dx.ravel()[band]) / (2 * np.pi)
        return picture * (1 - cover) + tone * cover, band, soft[band], place, radius.ravel()[band]

    noise = scene["noise"] * generator.standard_normal(GRAIN + ROWS * COLUMNS)
    still = None if swing.any() else standing(0.0, 0.0)
    for k, moment in enumerate(began):
        picture, band, soft, place, radius = still or standing(*swing[k])
        row = band // COLUMNS
        smear = scene["rev_s"] * scene["exposure_s"]
        parts = int(np.clip(np.ceil(smear / (half / 2)), 1, 16))
        paint, light = np.zeros(len(band)), np.zeros(ROWS)
        for part in range(parts):
            since = moment + late + scene["exposure_s"] * (part + 0.5) / parts
            angle = np.interp(since, grid, turns)
            lit = 1 + scene["lamp_depth"] * np.cos(2 * np.pi * (scene["lamp_hz"] * since + lamp_start))
            light += lit / parts
            seen = np.zeros(len(band))
            for mark, amount in zip(ahead, strength, strict=True):
                off = np.abs((place - angle[row] - mark + 0.5) % 1 - 0.5)
                seen += amount * np.clip((half - off) * 2 * np.pi * radius + 0.5, 0, 1)
            paint += seen * lit[row] / parts
        flat = (picture * light[:, None]).ravel()
        flat[band] += soft * paint
        begin = generator.integers(GRAIN)
        grain = noise[begin : begin + ROWS * COLUMNS].reshape(ROWS, COLUMNS)
        picture = np.clip(flat.reshape(ROWS, COLUMNS) * (1 + pump[k]) + grain, 0, 255)
        yield (16.5 + picture * (219 / 255)).astype(np.uint8)  # as coders count brightness, from 16 to 235


def _shaking(scene, began, generator):
    """Points down and right by which the picture is off in each frame."""
    if not scene["shake"]:
        return np.zeros((len(began), 2))
    off = np.zeros((len(began), 2))
    for axis in range(2):
        for _ in range(4):
            rate = generator.uniform(*scene["shake_hz"])
            off[:, axis] += np.sin(2 * np.pi * (rate * began + generator.random())) / 2**0.5
    return off * scene["shake"] * ROWS


def coded(
    scene: dict, stamps: np.ndarray, pictures: Iterable[np.ndarray], generator: np.random.Generator
) -> bytes:
    """The film as a file, as a phone writes one."""
    del generator
    file, tick = io.BytesIO(), Fraction(1, 90_000)
    with av.open(file, "w", format="mp4") as out:
        stream = out.add_stream("libx264", rate=240)
        stream.width, stream.height, stream.pix_fmt = COLUMNS, ROWS, "yuv420p"
        stream.codec_context.time_base = tick
        stream.options = {"preset": "superfast", "crf": str(scene["quality"]), "threads": "1"}
        for picture, moment in zip(pictures, stamps, strict=True):
            planes = np.full((ROWS * 3 // 2, COLUMNS), 128, np.uint8)  # no colour
            planes[:ROWS] = picture
            frame = av.VideoFrame.from_ndarray(planes, format="yuv420p")
            frame.pts, frame.time_base = round(float(moment) / tick), tick
            out.mux(stream.encode(frame))
        out.mux(stream.encode(None))
    return file.getvalue()
