"""Draw the lines in a sound with the orders of two speeds laid over them: why this one and not the other."""

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from snath.shop.pictures import svg
from snath.shop.pictures.combs import Comb
from snath.shop.pictures.figures import digits, rpm
from snath.shop.pictures.heard import COLUMNS, TOP_HZ, Heard, heard_in, orders_of, share_heard
from snath.shop.pictures.lettering import fitted
from snath.shop.pictures.picture import Picture
from snath.shop.pictures.scale import Scale
from snath.shop.pictures.svg import Element
from snath.shop.pictures.thinned import decimated
from snath.shop.pictures.voice import Voice

ROWS = 110  # cells of one panel along its pitch
SHADES = (0.15, 0.3, 0.5, 0.75)  # how dark a cell is that stands out this far
STEPS_DB = (4.0, 7.0, 10.0, 14.0)  # over the floor
BROKEN_S = 0.35  # a course with nothing for so long is drawn in two pieces
LEFT, GAP, TOP, FOOT = 40.0, 26.0, 40.0, 34.0


def evidence_picture(
    samples: NDArray[np.float32],
    rate: float,
    answer: Comb,
    runner_up: Comb | None,
    voice: Voice,
    *,
    begin_s: float = 0.0,
    width: float = 720,
    height: float = 360,
) -> Picture:
    """The sound as dark bands, twice: under the orders of the answer and of the runner-up.

    `begin_s` is where on the recording the sound begins, whose clock the courses go by too. [s]
    """
    heard = heard_in(samples, rate, begin_s=begin_s)
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


def _panel(
    heard: Heard, comb: Comb, voice: Voice, left: float, right: float, height: float, *, first: bool
) -> list[Element]:
    time = Scale(float(heard.t_s[0]), float(heard.t_s[-1]) + 1e-6, left, right)
    pitch = Scale(0.0, TOP_HZ, height - FOOT, TOP)
    parts = [*_bands(heard, time, pitch), *_lines(comb, time, pitch, heard)]
    parts.append(svg.rectangle(left, TOP, right - left, height - FOOT - TOP, look="thin"))
    name = rpm(voice, comb.speed)
    parts.append(svg.label(left, 14, name, bold=True))
    parts.append(svg.label(left, 31, fitted(voice.said(comb.name), right - left, 12), look="soft", size=12))
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


def _bands(heard: Heard, time: Scale, pitch: Scale) -> list[Element]:
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


def _lines(comb: Comb, time: Scale, pitch: Scale, heard: Heard) -> list[Element]:
    """The orders, dashed on a pale ground, broken where the course is."""
    t, speed = np.array(comb.t_s), np.array(comb.rev_s)
    inside = (t >= heard.t_s[0]) & (t <= heard.t_s[-1])
    t, speed = t[inside], speed[inside]
    pieces = np.split(np.arange(len(t)), np.flatnonzero(np.diff(t) > BROKEN_S) + 1)
    parts = []
    for order in orders_of(comb):
        for piece in pieces:
            on = [i for i in piece if order * speed[i] <= TOP_HZ]
            if len(on) < 2:
                continue
            xs, ys = (
                tuple(scale.at(v) for v in values)
                for scale, values in ((time, t[on]), (pitch, order * speed[on]))
            )
            thin = decimated(xs, ys, COLUMNS // 4)
            parts.append(svg.polyline(thin, look="halo"))
            parts.append(svg.polyline(thin, look="dashed"))
    return parts


def _text(heard: Heard, combs: list[Comb], voice: Voice) -> str:
    said = [voice.say("evidence.text")]
    for comb in combs:
        share = digits(voice, 100 * share_heard(heard, comb))
        speed = rpm(voice, comb.speed)
        said.append(voice.say("evidence.text-comb", speed=speed, name=voice.said(comb.name), percent=share))
    return " ".join(said)
