"""Why this speed and not the other? The lines in the sound, with the orders of both laid over them."""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import median_filter
from scipy.signal import spectrogram

from snath.formulas.signals.aliases import UNKNOWN_FIRINGS
from snath.formulas.signals.candidates import Candidate, Orders
from snath.formulas.signals.sound_result import SoundResult
from snath.quantities.errors import InputError
from snath.shop.pictures import svg
from snath.shop.pictures.figures import digits, rpm
from snath.shop.pictures.picture import Picture
from snath.shop.pictures.scale import Scale
from snath.shop.pictures.svg import Element
from snath.shop.pictures.voice import Voice

ROWS, COLUMNS = 110, 56  # cells of one panel
TOP_HZ = 420.0  # most of an engine's lines lie under it, and a reader can still tell them apart
SHADES = (0.15, 0.3, 0.5, 0.75)  # how dark a cell is that stands out this far
STEPS_DB = (4.0, 7.0, 10.0, 14.0)  # over the floor
NEAR_HZ = 60.0  # pitches about a cell that make its floor
BROKEN_S = 0.35  # a course with nothing for so long is drawn in two pieces
LINES = 10  # orders drawn at most
LEFT, GAP, TOP, FOOT = 40.0, 26.0, 40.0, 34.0
HEARD_DB = 6.0  # a line this far over the floor counts as heard


@dataclass(frozen=True, slots=True)
class Comb:
    """One speed over time and the orders at which it should be heard.

    Attributes
    ----------
    name : str
        What it would be: "firing of a single four-stroke".
    speed : float
        The speed it is called by. [rev/s]
    t_s, rev_s : tuple of float
        Its course. [s], [rev/s]
    spacing : float
        Orders are the whole multiples of this.
    """

    name: str
    speed: float
    t_s: tuple[float, ...]
    rev_s: tuple[float, ...]
    spacing: float


def combs(result: SoundResult, orders: Orders) -> tuple[Comb, Comb | None]:
    """The likeliest candidate and the next as combs, each along the course of the first.

    Raises
    ------
    InputError
        Where nothing was heard that could be shown.
    """
    if not result.candidates or not result.track.t_s:
        raise InputError("plot", "no speed", "needs a recording in which some speed was heard")
    first = result.candidates[0]
    made = [
        Comb(
            one.order,
            one.rev_s,
            result.track.t_s,
            tuple(v * one.rev_s / first.rev_s for v in result.track.rev_s),
            _spacing(one, orders),
        )
        for one in result.candidates[:2]
    ]
    return made[0], made[1] if len(made) > 1 else None


def _spacing(candidate: Candidate, orders: Orders) -> float:
    """Least order an engine of that firing is heard at."""
    turns, firings = orders.cycle_turns, orders.firings
    if turns is None or firings is None:
        named = [how for how in UNKNOWN_FIRINGS if how.name in candidate.order]
        if not named:
            return 0.5
        turns, firings = named[0].cycle_turns, named[0].firings
    even = np.allclose(np.diff(firings), 1 / len(firings))
    return len(firings) / turns if even else 1 / turns


@dataclass(frozen=True, slots=True)
class _Heard:
    t_s: NDArray[np.float64]
    frequency: NDArray[np.float64]
    over_floor: NDArray[np.float64]  # dB, frequency by time


def evidence_picture(
    samples: NDArray[np.float32],
    rate: float,
    answer: Comb,
    runner_up: Comb | None,
    voice: Voice,
    *,
    width: float = 720,
    height: float = 360,
) -> Picture:
    """The sound as dark bands, twice: under the orders of the answer and of the runner-up."""
    heard = _heard(samples, rate)
    combs = [answer] if runner_up is None else [answer, runner_up]
    room = (width - LEFT - 6 - GAP * (len(combs) - 1)) / len(combs)
    parts: list[Element] = []
    for i, comb in enumerate(combs):
        left = LEFT + i * (room + GAP)
        parts += _panel(heard, comb, voice, left, left + room, height, first=i == 0)
    words = _text(heard, combs, voice)
    drawing = svg.document(
        *parts,
        width=width,
        height=height,
        title=voice.say("evidence.title"),
        description=words,
        kind="evidence",
    )
    return Picture(drawing, words)


def share_heard(heard: _Heard, comb: Comb) -> float:
    """Share of a comb's lines, over time, along which the sound stands out."""
    found = []
    for order in _orders(comb):
        line = np.interp(heard.t_s, comb.t_s, comb.rev_s) * order
        row = np.rint(np.interp(line, heard.frequency, np.arange(len(heard.frequency)))).astype(int)
        near = [np.clip(row + step, 0, len(heard.frequency) - 1) for step in (-1, 0, 1)]
        level = np.max([heard.over_floor[n, np.arange(len(row))] for n in near], axis=0)
        found.append(float(np.mean(level[line < TOP_HZ] > HEARD_DB)) if (line < TOP_HZ).any() else 0.0)
    return float(np.mean(found)) if found else 0.0


def _heard(samples: NDArray[np.float32], rate: float) -> _Heard:
    """The sound under `TOP_HZ`, over the floor of its neighbourhood. [dB]"""
    step = max(int(rate / (4 * TOP_HZ)), 1)
    whole = samples[: len(samples) // step * step].reshape(-1, step).mean(axis=1)
    slow = rate / step
    window = min(int(0.3 * slow), max(len(whole) // 4, 8))
    hop = max((len(whole) - window) // (COLUMNS - 1), 1) if len(whole) > window else 1
    frequency, t, power = spectrogram(
        whole, slow, nperseg=window, noverlap=max(window - hop, 0), nfft=4 * window
    )
    level = 10 * np.log10(power + 1e-20)
    wanted = frequency <= TOP_HZ
    level = level[wanted]
    near = max(int(NEAR_HZ / (frequency[1] - frequency[0])), 3)
    floor = median_filter(level, size=(near, 1), mode="nearest")
    return _Heard(t, frequency[wanted], level - floor)


def _orders(comb: Comb) -> list[float]:
    top = TOP_HZ / max(max(comb.rev_s), 1e-9)
    return [comb.spacing * k for k in range(1, LINES + 1) if comb.spacing * k <= top]


def _panel(
    heard: _Heard, comb: Comb, voice: Voice, left: float, right: float, height: float, *, first: bool
) -> list[Element]:
    time = Scale(float(heard.t_s[0]), float(heard.t_s[-1]) + 1e-6, left, right)
    pitch = Scale(0.0, TOP_HZ, height - FOOT, TOP)
    parts = [*_bands(heard, time, pitch), *_lines(comb, time, pitch, heard)]
    parts.append(svg.rectangle(left, TOP, right - left, height - FOOT - TOP, look="thin"))
    name = rpm(voice, comb.speed)
    parts.append(svg.label(left, 14, name, bold=True))
    parts.append(
        svg.label(left, 31, svg.fitted(voice.said(comb.name), right - left, 12), look="soft", size=12)
    )
    for tick in time.ticks(4):
        parts.append(
            svg.label(
                time.at(tick),
                height - FOOT + 15,
                digits(voice, tick, 0 if tick == round(tick) else 1),
                look="soft",
                size=12,
                anchor="middle",
            )
        )
    parts.append(
        svg.label(right, height - 4, voice.say("track.axis-time"), look="soft", size=12, anchor="end")
    )
    if first:
        for tick in pitch.ticks(5):
            parts.append(
                svg.label(
                    left - 5, pitch.at(tick) + 4, digits(voice, tick), look="soft", size=12, anchor="end"
                )
            )
        parts.append(svg.label(0, height - 4, voice.say("evidence.axis"), look="soft", size=12))
    return parts


def _bands(heard: _Heard, time: Scale, pitch: Scale) -> list[Element]:
    """Cells that stand out, each shade one path of merged runs."""
    edges = np.linspace(0, len(heard.frequency), ROWS + 1).astype(int)
    rows = np.array([heard.over_floor[a:b].max(axis=0) for a, b in pairwise(edges) if b > a])
    shade = np.digitize(rows, STEPS_DB)
    wide = (time.end - time.start) / shade.shape[1]
    high = (pitch.start - pitch.end) / shade.shape[0]
    parts = []
    for level, dark in enumerate(SHADES, start=1):
        runs = []
        for r, row in enumerate(shade):
            on = np.flatnonzero(np.diff(np.concatenate([[0], row == level, [0]])))
            for start, end in zip(on[::2], on[1::2], strict=True):
                x, y = time.start + start * wide, pitch.start - (r + 1) * high
                across = (end - start) * wide
                runs.append(
                    f"M{svg.number(x)} {svg.number(y)}h{svg.number(across)}v{svg.number(high)}h{svg.number(-across)}z"
                )
        if runs:
            parts.append(svg.path("".join(runs), look="mark", fill_opacity=dark))
    return parts


def _lines(comb: Comb, time: Scale, pitch: Scale, heard: _Heard) -> list[Element]:
    """The orders, dashed on a pale ground, broken where the course is."""
    t, speed = np.array(comb.t_s), np.array(comb.rev_s)
    inside = (t >= heard.t_s[0]) & (t <= heard.t_s[-1])
    t, speed = t[inside], speed[inside]
    pieces = np.split(np.arange(len(t)), np.flatnonzero(np.diff(t) > BROKEN_S) + 1)
    parts = []
    for order in _orders(comb):
        for piece in pieces:
            on = [i for i in piece if order * speed[i] <= TOP_HZ]
            if len(on) < 2:
                continue
            xs, ys = (
                tuple(scale.at(v) for v in values)
                for scale, values in ((time, t[on]), (pitch, order * speed[on]))
            )
            thin = svg.decimated(xs, ys, COLUMNS // 4)
            parts.append(svg.polyline(thin, look="halo"))
            parts.append(svg.polyline(thin, look="dashed"))
    return parts


def _text(heard: _Heard, combs: list[Comb], voice: Voice) -> str:
    said = [voice.say("evidence.text")]
    for comb in combs:
        share = digits(voice, 100 * share_heard(heard, comb))
        speed = rpm(voice, comb.speed)
        said.append(voice.say("evidence.text-comb", speed=speed, name=voice.said(comb.name), percent=share))
    return " ".join(said)
