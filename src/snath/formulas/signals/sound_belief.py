"""Weigh each multiple of the tracked speed by its evidence and by what engines usually do."""

import math

from snath.formulas.signals.candidates import Orders
from snath.formulas.signals.sound_course import CHANCE

NOISE_SCALE = 3.0  # evidence is not as independent as the likelihood takes it; found on simulated clips
WORTH_SHARE = 0.05  # of what a comb explains beyond chance that counts against silence [1]
NOTHING = 10.0  # evidence that chance alone brings [nat]
SELDOM, SLOW_OCTAVES, FAST_OCTAVES = (
    -2.0,
    0.75,
    0.4,
)  # belief at the ends of a range [nat], and how far in they reach
MENTIONED = 0.002  # belief from which a multiple is named


def doubted(evidence: dict[float, float], unlike: dict[float, float]) -> dict[float, float]:
    """Evidence of each multiple when twice a speed may have made its lines, by cylinders not heard alike."""
    held = dict(evidence)
    for factor in sorted(unlike):  # from the slowest up: what may be twice a speed may be four times its half
        if factor in held and factor / 2 in held:  # another course's evidence may leave either out
            held[factor] = max(held[factor], held[factor / 2] + NOISE_SCALE * unlike[factor])
    return held


def usual(evidence: dict[float, float], mean: float, orders: Orders) -> dict[float, float]:
    """Evidence of each multiple of a mean speed with belief before hearing: engines seldom run at a range's ends.

    It goes from half of idle, where an engine stalls, to half over the rated speed, where no governor holds it.
    """

    def before(speed: float) -> float:
        slow = math.log2(max(speed / orders.rev_s_low, 1.0)) / SLOW_OCTAVES
        fast = math.log2(max(orders.rev_s_high / speed, 1.0)) / FAST_OCTAVES
        return SELDOM * (max(1 - slow, 0.0) + max(1 - fast, 0.0))

    return {factor: value + NOISE_SCALE * before(mean * factor) for factor, value in evidence.items()}


def shared(evidence: dict[float, float], worth: float = 0.0) -> dict[float, float]:
    """Belief in each multiple, beside that of hearing nothing, which what one comb explains in all speaks against."""
    if not evidence:
        return {}
    most = max(evidence.values())
    silence = NOTHING if worth < CHANCE else min(NOTHING, most - (worth - CHANCE) * WORTH_SHARE)
    top = max(most, silence)
    raw = {factor: math.exp((value - top) / NOISE_SCALE) for factor, value in evidence.items()}
    whole = sum(raw.values()) + math.exp((silence - top) / NOISE_SCALE)
    ranked = sorted(raw, key=lambda factor: -raw[factor])
    return {f: raw[f] / whole for i, f in enumerate(ranked) if i < 2 or raw[f] / whole > MENTIONED}
