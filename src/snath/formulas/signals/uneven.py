"""What if the marks do not stand evenly round the turn: after what time do they all come round?"""

import numpy as np

from snath.formulas.signals.edges import Edges

MOST_MARKS = 12
OPENING = 60  # pulses in which the first guess of a turn is made
PARTNER = 0.04  # share of a turn within which a pulse must have its partner a turn later
NEAR = 0.08  # share of a turn by which the same mark may come early or late
HELD = 0.7  # least share of pulses with a partner
REACHED = 0.8  # least share of the list that one mark must be followed through
AGREEING = 0.003  # most that two marks' speeds may differ, as a share


def uneven_edges(t_s):
    """Follow one mark from turn to turn, through missed and doubled pulses.

    Parameters
    ----------
    t_s : ndarray, shape (n,)
        Rising moments. [s]

    Returns
    -------
    marks : int or None
        Pulses a turn; None where no pattern comes round, or two marks do not tell the same. [1]
    edges : Edges or None
        The pulses of one mark, `marks` places apart for each turn.
    """
    turn = _first_turn(t_s[:OPENING])
    if turn is None:
        return None, None
    opening = t_s[: min(OPENING, len(t_s))]
    marks = round((len(opening) - 1) / (opening[-1] - opening[0]) * turn)
    chains = [_chain(t_s, start, turn) for start in range(min(max(marks, 1), len(t_s)))]
    whole = [c for c in chains if c[0][-1] - c[0][0] > REACHED * (t_s[-1] - t_s[0])]
    if marks < 1 or not whole or 2 * len(whole) < len(chains):
        return None, None
    speeds = [turns[-1] / (at[-1] - at[0]) for at, turns in whole]
    if max(speeds) > (1 + AGREEING) * min(speeds):
        return None, None
    moments, turns = max(whole, key=lambda chain: len(chain[0]))
    extra = max(len(t_s) - marks * (int(turns[-1]) + 1), 0)
    return marks, Edges(moments, turns * marks, extra, 0.0, np.ones(len(moments), dtype=bool))


def _first_turn(t_s):
    """The shortest time after which nearly every pulse has a partner. [s]"""
    interval = np.diff(t_s)
    usual = float(np.median(interval))
    tried = usual * 1.2 * 1.005 ** np.arange(int(np.log(MOST_MARKS) / np.log(1.005)))
    tried = tried[tried < (t_s[-1] - t_s[0]) / 3]
    if not len(tried):
        return None
    share = np.array([_partnered(t_s, turn) for turn in tried])
    good = np.flatnonzero(share >= max(0.95 * share.max(), HELD))
    if not len(good):
        return None
    # The first run of good tries is the turn itself, later ones its multiples; its middle fits best.
    run = good[: np.argmax(np.append(np.diff(good), 99) > 3) + 1]
    return float(tried[run].mean())


def _partnered(t_s, turn):
    """Share of pulses that have a partner one turn later."""
    expected = t_s[t_s + turn < t_s[-1]] + turn
    i = np.clip(np.searchsorted(t_s, expected), 1, len(t_s) - 1)
    off = np.minimum(np.abs(t_s[i] - expected), np.abs(t_s[i - 1] - expected))
    return float(np.mean(off < PARTNER * turn))


def _chain(t_s, start, turn):
    """Moments at which one mark came by, and the turns counted between them."""
    moments, turns, pace = [t_s[start]], [0], turn
    ahead = 1
    while moments[-1] + ahead * pace < t_s[-1] + NEAR * turn and ahead < 8:
        expected = moments[-1] + ahead * pace
        i = int(np.clip(np.searchsorted(t_s, expected), 1, len(t_s) - 1))
        near = t_s[i] if t_s[i] - expected < expected - t_s[i - 1] else t_s[i - 1]
        if near > moments[-1] and abs(near - expected) < NEAR * pace * min(ahead, 2):
            pace += 0.7 * ((near - moments[-1]) / ahead - pace)
            moments.append(near)
            turns.append(turns[-1] + ahead)
            ahead = 1
        else:
            ahead += 1
    return np.array(moments), np.array(turns)
