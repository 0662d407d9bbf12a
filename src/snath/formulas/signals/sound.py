"""How fast does the engine turn, from the sound of it?"""

import numpy as np
from scipy.fft import irfft, rfft

from snath.formulas.signals.aliases import SINGLE, same_sound
from snath.formulas.signals.candidates import Candidate, Orders, Track
from snath.formulas.signals.comb import STEP, comb_score, firing_pattern, log_levels
from snath.formulas.signals.sound_result import SoundResult
from snath.formulas.signals.spectra import COARSE_TOP, decimated, frame_power, noise_floor
from snath.formulas.signals.track import SLOPE_TOP, best_path, between_places
from snath.quantities.errors import within
from snath.quantities.measured import Line, Measured

HOP = 0.1
SPAN = 0.35
SLOPES = (0.0, -0.15, 0.15, -0.3, 0.3, -0.5, 0.5, -0.8, 0.8, -1.2, 1.2)
PHONE_CLOCK = 75e-6
CYCLE_JITTER = 0.005
MULTIPLES = (1 / 3, 0.5, 2 / 3, 0.75, 1.0, 4 / 3, 1.5, 2.0, 3.0)


def speed_from_sound(samples, rate, orders: Orders) -> SoundResult:
    """Speed over time and steady speed from a recording.

    Parameters
    ----------
    samples : array_like, shape (n,), or iterable of such arrays
        Sound, whole or in chunks. [any]
    rate : float
        Samples per second, 4000 to 400000. [1/s]
    orders : Orders
        What to look for.

    Returns
    -------
    SoundResult
        With `decided` False where several speeds fit or nothing was heard.

    Raises
    ------
    InputError
        If the rate is outside the range above.
    """
    within("rate", rate, 1, 400_000, "samples per second")
    if not isinstance(samples, np.ndarray | list | tuple):
        samples = np.concatenate(
            [np.asarray(chunk, dtype=np.float32) for chunk in samples] or [np.zeros(0, np.float32)]
        )
    x, working = decimated(samples, rate)
    duration = len(samples) / rate
    if duration < 0.3 or not np.any(x) or working < 1000:
        return nothing(duration, "the recording holds no sound")
    firing = (orders.cycle_turns, orders.firings) if orders.cycle_turns and orders.firings else None
    turns, firings = firing or (SINGLE.cycle_turns, SINGLE.firings)
    low = orders.rev_s_low if firing else orders.rev_s_low * 0.5
    high = orders.rev_s_high if firing else orders.rev_s_high * 2
    pattern = firing_pattern(cycle_turns=turns, firings=firings)
    t, speed, score, place = _search(x, working, low, high, pattern)
    weight = _branches(score, place)
    mean = float(speed.mean())
    spread = float(np.std(speed - np.polyval(np.polyfit(t, speed, min(1, len(t) - 1)), t)))
    budget = _budget(mean, spread, len(t), duration, turns)
    u = Measured(mean, budget).u
    candidates = []
    for factor, share in weight:
        if firing:
            if orders.rev_s_low <= mean * factor <= orders.rev_s_high:
                candidates.append(Candidate(mean * factor, u * factor, share, f"comb x {factor:.3g}"))
            continue
        for value, how in same_sound(
            cycle_rate=mean * factor / 2, rev_s_low=orders.rev_s_low, rev_s_high=orders.rev_s_high
        ):
            candidates.append(
                Candidate(value, u * value / mean, share * how.prior, f"firing of a {how.name}")
            )
    candidates.sort(key=lambda c: -c.weight)
    if not candidates:
        return nothing(duration, "no engine speed in the range fits the sound")
    best = candidates[0]
    factor = best.rev_s / mean
    track = Track("crankshaft", tuple(t), tuple(speed * factor), tuple(np.full(len(t), spread * factor)))
    return SoundResult(
        track=track,
        steady=Measured(best.rev_s, tuple(Line(k.source, k.u * factor, k.dof) for k in budget)),
        candidates=tuple(candidates),
        decided=best.weight > 0.9,
        low=float(speed.min() * factor),
        high=float(speed.max() * factor),
        duration=duration,
    )


def nothing(duration, why) -> SoundResult:
    """The answer where no speed can be told."""
    return SoundResult(
        Track("crankshaft", (), (), (), ((0.0, duration),)), None, (), False, duration=duration, notes=(why,)
    )


def _search(x, rate, low, high, pattern):
    """Track of the best comb: times, speeds, evidence of every place, path."""
    n = len(x)
    spectrum = rfft(x)
    spectrum *= np.clip((1400 - np.arange(len(spectrum)) * rate / n) / 200, 0, 1).astype(np.float32)
    quiet = irfft(spectrum, n).astype(np.float32)
    t = np.arange(HOP / 2, n / rate, HOP)
    centres = (t * rate).astype(int)
    axis = max(20.0, low / 4)
    count = int(np.log(high / low) / STEP) + 1
    best = None
    for slope in SLOPES:
        power, width = frame_power(quiet, rate, centres, slope, SPAN)
        if best is None:
            floor = noise_floor(power, width)
        score = comb_score(log_levels(power, floor, width, axis, COARSE_TOP), axis, pattern, low, count)
        best = score if best is None else np.maximum(best, score)
    place = best_path(best, int(SLOPE_TOP * HOP / STEP), 0.02)
    return t, low * np.exp(STEP * (place + between_places(best, place))), best, place


def _branches(score, place):
    """Belief in each simple multiple of the path, from what the frames say at that multiple."""
    rows = np.arange(len(place))
    total = []
    for factor in MULTIPLES:
        other = place + round(np.log(factor) / STEP)
        inside = (other >= 0) & (other < score.shape[1])
        if inside.all():
            total.append((factor, float(score[rows, other].sum())))
    top = max(value for _, value in total)
    share = [(factor, float(np.exp((value - top) / 10))) for factor, value in total]
    whole = sum(value for _, value in share)
    return [(factor, value / whole) for factor, value in share if value > 0.01 * whole]


def _budget(speed, spread, frames, duration, turns):
    """One line per cause. [rev/s]"""
    cycles = max(speed * duration / turns, 1.0)
    return (
        Line("phone clock", speed * PHONE_CLOCK),
        Line("cycle jitter", speed * CYCLE_JITTER / np.sqrt(cycles)),
        Line("sound: noise and tracking", spread / np.sqrt(max(frames / 3, 1))),
    )
