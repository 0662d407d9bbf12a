"""Measure the engine's phase block by block against the clock the sound was unrolled with.

First from block to block, which needs no knowledge of the lines; then all blocks against the lines'
common amplitudes, which is maximum likelihood (docs/sound.md, equations 6 to 8).
"""

from typing import Any

import numpy as np

from snath.formulas.signals.track import top_between

TURN = 2 * np.pi
LEAST_GAIN = (
    400.0  # of a phase no line tells anything of: known to a twentieth of a cycle by the track itself
)
STILL = 1e-5  # change of a phase that ends the rounds, far below any noise [cycle]
CHANCE = 5.0  # times the power noise alone leaves in a mean; noise passes it once in 150, at high orders it would weigh


def _turns(phase: Any, top: Any) -> Any:
    """exp(-2 pi i k phase) for the lines 1 to `top`, each half of them turned to give the next."""
    turns = np.empty((top, len(phase)), dtype=np.complex64)
    turns[0] = np.exp(-1j * TURN * phase)
    known = 1
    while known < top:
        more = min(known, top - known)
        np.multiply(turns[:more], turns[known - 1], out=turns[known : known + more])
        known += more
    return np.ascontiguousarray(turns.T)


def turned_back(lines: Any, phase: Any) -> Any:
    """Amplitudes of every block as if it stood at phase 0, shape (blocks, top)."""
    return lines * _turns(phase, lines.shape[1])


def in_common(turned: Any, noise: Any) -> Any:
    """Amplitude common to all blocks, its power, and the trust each line deserves over its power."""
    blocks = len(turned)
    mean = turned.sum(axis=0) / np.float32(blocks)
    power = mean.real**2 + mean.imag**2
    rest = (turned - mean).view(turned.real.dtype)  # real and imaginary parts side by side
    scatter = np.einsum("ij,ij->j", rest, rest).reshape(-1, 2).sum(axis=1) / max(blocks - 1, 1)
    scatter = np.maximum(scatter, 0.7 * noise)
    return mean, power, np.maximum(power - CHANCE * scatter / blocks, 0) / (power + 1e-30) / scatter


def steps_between(lines: Any, weight: Any, reach: float) -> Any:
    """Phase steps between neighbouring blocks that explain all lines best.

    Parameters
    ----------
    lines : ndarray of complex, shape (blocks, top)
        Amplitudes of lines 1 to top. [any]
    weight : ndarray, shape (top,)
        Trust in each line over its power. [any]
    reach : float
        Largest step looked for. [cycle]

    Returns
    -------
    ndarray, shape (blocks - 1,)
        Steps; lines that turn otherwise than the others, as a blade's tone beside them makes them,
        are trusted less in a second round. [cycle]
    """
    top = lines.shape[1]
    tried = np.linspace(-reach, reach, int(5 * reach * top) * 2 + 3)
    against = _turns(-tried, top).view(np.float32).T  # real and imaginary parts side by side
    turned = (lines[1:] * lines[:-1].conj() * weight).astype(np.complex64)
    step = _best_step(turned, tried, against)
    straight = (turned * _turns(step, top)).sum(axis=0).real
    agreeing = np.maximum(straight / (np.abs(turned).sum(axis=0) + 1e-30), 0.02) ** 2
    return _best_step((turned * agreeing).astype(np.complex64), tried, against)


def _best_step(turned: Any, step: Any, against: Any) -> Any:
    """The step at which all lines, turned back by it, add up most; a parabola between grid points."""
    match = turned.view(np.float32) @ against
    smooth = match.copy()
    smooth[1:] += 0.5 * match[:-1]
    smooth[:-1] += 0.5 * match[1:]
    at = np.minimum(np.maximum(smooth.argmax(axis=1), 1), len(step) - 2)
    rows = np.arange(len(at))
    left, mid, right = smooth[rows, at - 1], smooth[rows, at], smooth[rows, at + 1]
    return step[at] + top_between(left, mid, right) * (step[1] - step[0])


def settled(
    lines: Any, noise: Any, phase: Any, smooth: Any, rounds: int = 6, *, own_bend: bool = True
) -> Any:
    """Phase of every block against amplitudes common to all of them.

    Parameters
    ----------
    lines : ndarray of complex, shape (blocks, top)
        Amplitudes of lines 1 to top. [any]
    noise : ndarray, shape (top,)
        Noise variance of such an amplitude. [any]
    phase : ndarray, shape (blocks,)
        First guess. [cycle]
    smooth : callable
        From observed phases and their variance, in cycle^2, to smoothed phases. [cycle]
    rounds : int
        Newton steps. [1]
    own_bend : bool
        Whether a block's step is divided by its own curvature, which finds a phase that is far off. With
        the curvature all blocks have in common noise moves it evenly, as least squares wants it.

    Returns
    -------
    tuple of (ndarray, float)
        Observed phase of each block and its variance. [cycle], [cycle^2]
    """
    order = np.arange(1, lines.shape[1] + 1)
    for round_ in range(rounds):
        turned = turned_back(lines, phase)
        mean, power, trust = in_common(turned, noise)
        pull = mean.conj() * trust * order
        moved = turned @ np.stack([pull * order, pull], axis=1).astype(turned.dtype)
        gain = max(TURN * TURN * 2 * float((power * trust * order * order).sum()), LEAST_GAIN)
        bend = TURN * TURN * 2 * moved[:, 0].real if own_bend else gain
        move = TURN * 2 * moved[:, 1].imag / np.maximum(bend, 0.3 * gain)
        observed = phase + np.minimum(np.maximum(move, -0.02), 0.02)
        if round_ < rounds - 1:
            last, phase = phase, smooth(observed, 1 / gain)
            if np.abs(phase - last).max() < STILL:
                break
    return observed, 1 / gain
