"""Look for another engine's comb in what the followed one leaves over.

The followed engine's lines go when the mean wave of neighbouring cycles is taken off the sound. The speeds for which
frames of what is left hold most evidence are followed in it, as if each were an engine's, and what one comb there
explains by lines of its own speaks for a second engine (docs/sound.md, section 3).
"""

from collections.abc import Sequence
from typing import Any

import numpy as np
from scipy.fft import irfft, rfft
from scipy.ndimage import uniform_filter1d
from scipy.signal import welch

from snath.formulas.signals.comb import STEP, comb_score, firing_pattern, log_levels
from snath.formulas.signals.sound_follow import Followed, TooShortError, follow
from snath.formulas.signals.sound_plan import Plan
from snath.formulas.signals.sound_search import HOP, LONG, TILT
from snath.formulas.signals.sound_second import known_spans
from snath.formulas.signals.spectra import frame_power, noise_floor
from snath.formulas.signals.track import top_between

SIMPLE = np.array(sorted({a / b for a in range(1, 6) for b in range(1, 6)}))
AKIN = 0.012  # share within which a speed is a simple multiple of the followed one, whose lines it shares
MOST, APART = 3, 0.02  # speeds tried, and the least share by which they differ
TAKEN_OFF, FINER = (
    9,
    4,
)  # neighbouring cycles whose mean is the followed engine's wave; points of it beside theirs
LEAST_LEFT = (
    0.01  # share of the power under which what is left over is no engine but what resampling leaves [1]
)
LOWEST, TOP, AROUND = 20.0, 2000.0, 120.0  # frequencies looked at, and about a line it stands out from [Hz]
SHARED = 0.1  # lines nearer than this to the followed engine's whole and half ones say nothing [cycle line]
CHANCE = 1.5  # what chance explains of a line [nat]
MOST_SAID = 8.0  # what one line may say in a second, as a lone tone is no engine [nat/s]
BESIDE, STANDS_OUT = (
    2.0,
    4.0,
)  # distance of other tones from the followed engine's lines [Hz], and over the floor [1]
CLEAR = 25.0  # what lines of its own must explain in a second to be another engine's [nat/s]


def rival_heard(
    x: Any, rate: float, parts: Sequence[Followed], plan: Plan, mains: float | None = None
) -> bool:
    """Whether a comb of another speed explains much of what the followed engine leaves over.

    Parameters
    ----------
    x : ndarray, shape (n,)
        Sound. [any]
    rate : float
        Its rate. [1/s]
    parts : sequence of Followed
        Stretches of it, as the engine was followed through them.
    plan : Plan
        What was listened for.
    mains : float or None
        Whose hum is heard. [Hz]

    Returns
    -------
    bool
        False where nothing else is heard, or only multiples of the followed speed.
    """
    left = [_left_over(x, rate, one) for one in parts]
    if sum(float(y.var()) for y in left) < LEAST_LEFT * sum(float(one.cycles.var()) for one in parts):
        return False
    paces = [_pace(one) for one in parts]
    own = sum(len(y) * float(one.cycles.mean(axis=0).var()) for y, one in zip(left, parts, strict=True))
    if sum(len(y) * _tones(y, rate, at, plan, mains) for y, at in zip(left, paces, strict=True)) > own:
        return True
    lasting = sum(len(y) for y in left) / rate
    return any(
        sum(_explains(y, rate, speed, pace, plan, mains) for y, pace in zip(left, paces, strict=True))
        > CLEAR * lasting
        for speed in _speeds(left, rate, float(np.mean(paces)) * plan.turns, plan)
    )


def _samples(one: Followed, rate: float) -> slice:
    """Samples of the sound that a stretch was followed through."""
    return slice(*(int(end * rate) for end in one.clock.t[[0, -1]]))


def _left_over(x: Any, rate: float, one: Followed) -> Any:
    """The sound of a stretch less the mean wave of each cycle and its neighbours. [any]"""
    inside = _samples(one, rate)
    waves = uniform_filter1d(one.cycles, TAKEN_OFF, axis=0, mode="nearest")
    points = FINER * waves.shape[1]  # so many that straight lines between them are the wave
    wave = FINER * irfft(rfft(waves, axis=1), points, axis=1).ravel()
    place = one.clock.at(np.arange(inside.start, inside.stop) / rate) * points
    return (x[inside] - np.interp(place, np.arange(len(wave)), wave)).astype(np.float32)


def _tones(x: Any, rate: float, own_pace: float, plan: Plan, mains: float | None) -> float:
    """Power of all lines of what is left that are neither the followed engine's nor of what is known. [any]"""
    size = int(min(rate, len(x)))  # a second
    at, power = welch(x, rate, nperseg=size)
    floor = noise_floor(power[None], at[1])[0]
    place = at / own_pace
    free = (at > LOWEST) & (at < TOP) & (np.abs(place - np.rint(2 * place) / 2) * own_pace > BESIDE)
    for low, high in known_spans(plan.driven, plan.turns, mains, own_pace):
        free &= (place < low - BESIDE / own_pace) | (place > high + BESIDE / own_pace)
    return float((power - floor)[free & (power > STANDS_OUT * floor)].sum() * at[1])


def _pace(one: Followed) -> float:
    """Cycles followed, over the time it took. [1/s]"""
    return float((one.angle[-1] - one.angle[0]) / (one.t[-1] - one.t[0]))


def _speeds(left: Sequence[Any], rate: float, own: float, plan: Plan) -> list[float]:
    """Speeds of most evidence through all frames, no simple multiples of the followed engine's own. [rev/s]"""
    pattern = firing_pattern(cycle_turns=plan.turns, firings=plan.firings)
    low = max(LOWEST, plan.low / 4)
    speed = plan.low * np.exp(STEP * np.arange(int(np.log(plan.high / plan.low) / STEP) + 1))
    total = np.zeros(len(speed))
    top = min(TOP, 0.42 * rate)
    for x in left:
        centres = (np.arange(HOP / 2, len(x) / rate, HOP) * rate).astype(int)
        power, width = frame_power(x, rate, centres, slopes=(0.0,), span=LONG, frame_rate=2.26 * top, top=top)
        around = max(AROUND, pattern.orders[0] * plan.high)
        levels = log_levels(power, noise_floor(power, width), width, low=low, high=top, around=around)
        score = comb_score(levels, low, pattern, plan.low, len(speed))
        total += (score - TILT * np.log2(speed / plan.low)).sum(axis=0)
    smooth = np.convolve(total, (0.25, 0.5, 0.25), "same")
    total = smooth.copy()
    total[(np.abs(speed[:, None] / own / SIMPLE - 1) < AKIN).any(axis=1)] = 0.0
    found: list[float] = []
    while len(found) < MOST and total.max() > 0:
        at = min(max(int(total.argmax()), 1), len(total) - 2)
        found.append(float(speed[at] * np.exp(STEP * top_between(*smooth[at - 1 : at + 2]))))
        total[np.abs(speed / found[-1] - 1) < APART] = 0.0
    return found


def _explains(x: Any, rate: float, speed: float, own_pace: float, plan: Plan, mains: float | None) -> float:
    """What a comb of another speed explains of what is left, by lines that are not the followed engine's. [nat]"""
    end = len(x) / rate
    t = np.arange(HOP / 2, end, HOP)
    try:
        other = follow(x, rate, t, np.full(len(t), speed / plan.turns), 0.0, end, plan.turns)
    except TooShortError:
        return 0.0
    place = _pace(other) / own_pace * np.arange(1, len(other.explained.each) + 1)
    own = np.abs(place - np.rint(2 * place) / 2) > SHARED
    for low, high in known_spans(plan.driven, plan.turns, mains, own_pace):
        own &= (place < low - SHARED) | (place > high + SHARED)
    return float((np.minimum(other.explained.each[own], MOST_SAID * end) - CHANCE).sum())
