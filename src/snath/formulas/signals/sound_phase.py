"""Where does the engine truly stand, block by block, against the clock the sound was unrolled with?

First from block to block, which needs no knowledge of the lines; then all blocks against the lines'
common amplitudes, which is maximum likelihood (docs/sound.md, equations 6 to 8).
"""

import numpy as np

TURN = 2 * np.pi
LEAST_GAIN = (
    400.0  # of a phase no line tells anything of: known to a twentieth of a cycle by the track itself
)
STILL = 1e-5  # change of a phase that ends the rounds, far below any noise [cycle]
CHANCE = 5.0  # times the power noise alone leaves in a mean; noise passes it once in 150, at high orders it would weigh


def _turns(phase, top):
    """exp(-2 pi i k phase) for the lines 1 to `top`, by repeated turning."""
    once = np.exp(-1j * TURN * phase).astype(np.complex64)
    return np.multiply.accumulate(np.repeat(once[:, None], top, axis=1), axis=1)


def turned_back(lines, phase):
    """Amplitudes of every block as if it stood at phase 0, shape (blocks, top)."""
    return lines * _turns(phase, lines.shape[1])


def in_common(turned, noise):
    """Amplitude common to all blocks, its power, and the trust each line deserves over its power."""
    blocks = len(turned)
    mean = turned.mean(axis=0)
    power = mean.real**2 + mean.imag**2
    rest = turned - mean
    scatter = (rest.real**2 + rest.imag**2).sum(axis=0) / max(blocks - 1, 1)
    scatter = np.maximum(scatter, 0.7 * noise)
    return mean, power, np.maximum(power - CHANCE * scatter / blocks, 0) / (power + 1e-30) / scatter


def steps_between(lines, weight, reach):
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
    order = np.arange(1, lines.shape[1] + 1)
    turned = (lines[1:] * lines[:-1].conj() * weight).astype(np.complex64)
    step = _best_step(turned, order, reach)
    straight = (turned * _turns(step, len(order))).sum(axis=0).real
    agreeing = np.maximum(straight / (np.abs(turned).sum(axis=0) + 1e-30), 0.02) ** 2
    return _best_step(turned * agreeing, order, reach)


def _best_step(turned, order, reach):
    """The step at which all lines, turned back by it, add up most; a parabola between grid points."""
    top = len(order)
    count = int(5 * reach * top) * 2 + 3
    step = np.linspace(-reach, reach, count)
    match = (turned @ np.exp(-1j * TURN * np.outer(order, step)).astype(np.complex64)).real
    smooth = match.copy()
    smooth[1:] += 0.5 * match[:-1]
    smooth[:-1] += 0.5 * match[1:]
    at = np.clip(smooth.argmax(axis=1), 1, count - 2)
    rows = np.arange(len(at))
    left, mid, right = smooth[rows, at - 1], smooth[rows, at], smooth[rows, at + 1]
    bend = left - 2 * mid + right
    beside = np.where(bend < 0, 0.5 * (left - right) / np.where(bend < 0, bend, 1), 0)
    return step[at] + np.clip(beside, -0.5, 0.5) * (step[1] - step[0])


def settled(lines, noise, phase, smooth, rounds=6, *, own_bend=True):
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
        pull = turned * mean.conj() * trust
        gain = max(TURN * TURN * 2 * float((power * trust * order * order).sum()), LEAST_GAIN)
        bend = TURN * TURN * 2 * (pull.real * order * order).sum(axis=1) if own_bend else gain
        move = TURN * 2 * (pull.imag * order).sum(axis=1) / np.maximum(bend, 0.3 * gain)
        observed = phase + np.clip(move, -0.02, 0.02)
        if round_ < rounds - 1:
            last, phase = phase, smooth(observed, 1 / gain)
            if np.abs(phase - last).max() < STILL:
                break
    return observed, 1 / gain
