"""Render films of a pulley with taped marks, by turning a drawn picture, for judging the reader of films.

It shares no module with the reader, with the simulator or with `_film_disc`.
"""

import io
from collections.abc import Iterable, Iterator
from fractions import Fraction

import av
import numpy as np
from PIL import Image
from scipy.ndimage import gaussian_filter
from scipy.ndimage import shift as shifted

HIGH, WIDE = 180, 240
SIDE = 120  # points of the turning picture
PLACES = 240  # at which it is drawn once; between two they are mixed
TICK = Fraction(1, 60_000)


def render(
    scene: dict, generator: np.random.Generator
) -> tuple[np.ndarray, Iterator[np.ndarray], np.ndarray, np.ndarray]:
    """A film, and its angle: stamps, pictures, and moments and turns done, on the clock on which it was taken."""
    t, angle = _going(scene, generator)
    opened = _opened(scene, generator)
    stamps = opened - opened[0]
    if scene["stamps"].endswith("rounded"):
        stamps = np.floor(stamps * 1000 + 0.5) / 1000
    if scene["play_rate"]:
        stamps = np.arange(len(opened)) / scene["play_rate"]
    return stamps, _frames(scene, t, angle, opened, generator), t, angle


def coded(
    scene: dict, stamps: np.ndarray, pictures: Iterable[np.ndarray], generator: np.random.Generator
) -> bytes:
    """The film as a file, by one of two coders."""
    film = io.BytesIO()
    with av.open(film, "w", format="matroska") as out:
        codec = "mpeg4" if generator.random() < 0.3 else "libx264"
        stream = out.add_stream(codec, rate=60)
        stream.width, stream.height, stream.pix_fmt = WIDE, HIGH, "yuv420p"
        stream.codec_context.time_base = TICK
        if codec == "libx264":
            stream.options = {"preset": "veryfast", "qp": str(scene["quality"]), "threads": "1", "bf": "2"}
        else:
            stream.bit_rate = int(4e6 * 2 ** ((22 - scene["quality"]) / 6))
        grey = np.full((HIGH // 2, WIDE), 128, np.uint8)
        for picture, moment in zip(pictures, stamps, strict=True):
            frame = av.VideoFrame.from_ndarray(np.vstack([picture, grey]), format="yuv420p")
            frame.pts, frame.time_base = round(float(moment) / TICK), TICK
            out.mux(stream.encode(frame))
        out.mux(stream.encode(None))
    return film.getvalue()


def _going(scene, generator):
    """The governed speed with a wander of its own, and a firing pulse in every second turn."""
    step = 0.00025
    t = np.arange(-0.05, scene["seconds"] + 0.3, step)
    half = 0.5 * scene["seconds"]
    coarse = np.arange(0, t[-1] + 0.2, 0.05)
    wander = np.zeros(len(coarse))
    for i in range(1, len(coarse)):
        wander[i] = 0.93 * wander[i - 1] + generator.normal(0, 0.0006)
    course = 1 + np.interp(t, coarse, wander)
    if scene["profile"] == "drift":
        course += generator.uniform(-0.015, 0.015) * (t / half - 1)
    elif scene["profile"] == "hunting":
        course += generator.uniform(0.004, 0.025) * np.cos(
            2 * np.pi * generator.uniform(0.5, 2.0) * t + 6 * generator.random()
        )
    elif scene["profile"] == "step":
        since = np.clip(t - half * generator.uniform(0.75, 1.25), 0, None)
        course -= generator.uniform(0.04, 0.1) * (1 - np.exp(-since / 0.2) * np.cos(5 * since))
    angle = np.cumsum(scene["rev_s"] * course) * step
    return t, angle + 0.001 * np.sin(np.pi * angle) + generator.random()


def _opened(scene, generator):
    """When each picture's first row opened; uneven ones come late more often than early."""
    count = int(scene["seconds"] * scene["rate"])
    moments = np.arange(count) / scene["rate"]
    if scene["stamps"].startswith("uneven"):
        late = generator.gamma(2.0, scene["jitter_s"] / 2**0.5, count)
        moments = moments + np.minimum(late, 0.8 / scene["rate"])
    return moments


def _drawn(scene, generator):
    """The pulley at one place: a disc, its rim, and tape on it."""
    y, x = np.mgrid[0 : 2 * SIDE, 0 : 2 * SIDE] - (SIDE - 0.5)
    radius, place = np.hypot(y, x) / SIDE, np.arctan2(y, x) / (2 * np.pi)
    picture = np.where(radius < 0.92, generator.uniform(60, 120), 0.0)
    picture += np.where((radius > 0.7) & (radius < 0.92), generator.uniform(5, 20), 0)
    tape = np.zeros_like(picture)
    for k in range(scene["marks"]):
        middle = k / scene["marks"] + (generator.uniform(-0.006, 0.006) if scene["marks"] > 1 else 0)
        off = np.abs((place - middle + 0.5) % 1 - 0.5) * 2 * np.pi * radius
        tape += np.where((off < 0.09) & (radius > 0.4) & (radius < 0.9), generator.uniform(0.9, 1.1), 0)
    picture += scene["contrast"] * tape
    inside = (radius < 0.93).astype(float)
    small = [
        gaussian_filter(one, 0.7).reshape(SIDE, 2, SIDE, 2).mean(axis=(1, 3)) for one in (picture, inside)
    ]
    return small[0], small[1]


def _frames(scene, t, angle, opened, generator):
    still, inside = _drawn(scene, generator)
    drawn = Image.fromarray(still.astype(np.float32))
    stack = np.empty((PLACES, SIDE, SIDE), np.float32)
    for k, one in enumerate(stack):
        one[:] = drawn.rotate(360 * k / PLACES, Image.Resampling.BILINEAR)
    ground = gaussian_filter(generator.normal(0, 1, (HIGH, WIDE)), 5)
    ground = 100 + 30 * ground / ground.std() + 20 * (np.arange(WIDE) // 40 % 2)
    top, left = int(generator.integers(20, HIGH - SIDE - 20)), int(generator.integers(20, WIDE - SIDE - 20))
    level = 1 + 0.2 * np.sin(np.arange(WIDE) / 60)  # light falls off to the sides
    pace, wobble = _hand(scene, opened, generator), generator.random()
    breath = 1 + scene["pumping"] * np.sign(np.sin(2 * np.pi * (scene["pumping_hz"] * opened + wobble))) * 0.7
    breath = np.convolve(np.pad(breath, 4, mode="edge"), np.ones(9) / 9, mode="valid")
    rows = np.arange(HIGH) / HIGH * scene["readout_s"]
    many = int(np.clip(np.ceil(scene["rev_s"] * scene["exposure_s"] / 0.012), 1, 14))
    begin = generator.random()
    dust = scene["noise"] * generator.standard_normal(900_000)  # of which each picture has a stretch
    for k, moment in enumerate(opened):
        turned, glow = np.zeros((SIDE, SIDE), np.float32), np.zeros(HIGH)
        for part in range(many):
            when = moment + rows + scene["exposure_s"] * (part + 0.5) / many
            lit = np.abs(np.sin(np.pi * (scene["lamp_hz"] * when + begin))) if scene["lamp_hz"] else 1.0
            lit = 1 - scene["lamp_depth"] + scene["lamp_depth"] * 1.5 * lit
            glow += lit / many
            at = (np.interp(when[top : top + SIDE], t, angle) % 1) * PLACES
            first = at.astype(int) % PLACES
            mix = (at % 1).astype(np.float32)[:, None]
            line = np.arange(SIDE)
            seen = stack[first, line] * (1 - mix) + stack[(first + 1) % PLACES, line] * mix
            turned += seen * np.asarray(lit * np.ones(HIGH), np.float32)[top : top + SIDE, None] / many
        picture = ground * glow[:, None]
        window = picture[top : top + SIDE, left : left + SIDE]
        window *= 1 - inside
        window += turned * inside
        picture = picture * level * breath[k]
        if pace[k].any():
            picture = shifted(picture, pace[k], order=1, mode="nearest")
        grain = dust[int(generator.integers(len(dust) - picture.size)) :][: picture.size]
        picture += grain.reshape(HIGH, WIDE) * (0.6 + 0.4 * np.sqrt(np.clip(picture, 0, None) / 120))
        yield (np.clip(picture, 0, 255) * 0.859 + 16.5).astype(np.uint8)  # black is 16, white 235


def _hand(scene, opened, generator):
    """Points by which a hand moves the picture: noise of a few hertz, of each direction."""
    if not scene["shake"]:
        return np.zeros((len(opened), 2))
    low, high = scene["shake_hz"]
    rate = np.sqrt(low * high) * 1.2
    path = generator.normal(0, 1, (len(opened), 2))
    width = max(scene["rate"] / (2 * np.pi * rate), 0.3)
    path = gaussian_filter(path, (width, 0))
    return path / np.maximum(path.std(axis=0), 1e-9) * scene["shake"] * HIGH
