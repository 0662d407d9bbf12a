"""What if the marks do not stand evenly round the turn: after what time do they all come round?"""

import numpy as np
from scipy.ndimage import median_filter

from snath.formulas.signals.edges import Edges, alone

MOST_MARKS = 12
OPENING = 60  # pulses in which the first guess of a turn is made
PARTNER = 0.04  # share of a turn within which a pulse must have its partner a turn later
NEAR = 0.08  # share of a turn by which the same mark may come early or late
BETWEEN = 0.24  # share of the usual distance between marks, where that is less
LIKE = 0.01  # share by which a turn may differ from those about it and its ends count as firm
HELD = 0.7  # least share of pulses with a partner
STATED = 0.3  # share by which a turn may differ from the one that the marks stated would make
REACHED = 0.8  # least share of the list that one mark must be followed through
AGREEING = 0.003  # most that two marks' speeds may differ, as a share


def uneven_edges(t_s, *, told=None):
    """Follow one mark from turn to turn, through missed and doubled pulses.

    Parameters
    ----------
    t_s : ndarray, shape (n,)
        Rising moments. [s]
    told : float or None
        Marks a turn as stated; a turn is looked for there first, and no more than two together count as one. [1]

    Returns
    -------
    marks : int or None
        Pulses a turn; None where no pattern comes round, or two marks do not tell the same. [1]
    edges : Edges or None
        The pulses of one mark, `marks` places apart for each turn.
    """
    turn = _first_turn(t_s[:OPENING], told)
    if turn is None:
        return None, None
    opening = t_s[: min(OPENING, len(t_s))]
    marks = round((len(opening) - 1) / (opening[-1] - opening[0]) * turn)
    chains = _agreed(t_s, turn, max(marks, 1))
    whole = [c for c in chains if t_s[c[0][-1]] - t_s[c[0][0]] > REACHED * (t_s[-1] - t_s[0])]
    if marks < 1 or (told and marks > 2 * told) or not whole or 2 * len(whole) < len(chains):
        return None, None
    counted = {round((at[-1] - at[0]) / turns[-1]) for at, turns in whole}
    if counted != {marks}:  # from the opening on, the pulses came round in another time
        return None, None
    speeds = [turns[-1] / (t_s[at[-1]] - t_s[at[0]]) for at, turns in whole]
    if max(speeds) > (1 + AGREEING) * min(speeds):
        return None, None
    at, turns = max(whole, key=lambda chain: len(chain[0]))
    extra = max(len(t_s) - marks * (int(turns[-1]) + 1), 0)
    firm = alone(t_s, _near(marks) * turn)[at] & _like_its_neighbours(t_s[at], turns)
    return marks, Edges(t_s[at], turns * marks, extra, 0.0, firm)


def _near(marks):
    """Share of a turn by which a mark may come early or late and be no other."""
    return min(NEAR, BETWEEN / marks)


def _agreed(t_s, turn, marks):
    """What each chain from the beginning shares with the one from the end that goes its way, which must count alike.

    A chain that slips to the next mark at a fault goes part of its way with one chain and part with another.
    """
    last = len(t_s) - 1
    near = _near(marks)
    ahead = [_chain(t_s, start, turn, near) for start in range(min(marks, len(t_s)))]
    pace = max(ahead, key=lambda chain: len(chain[0]))[2]
    mirrored = -t_s[::-1]
    back = [_chain(mirrored, start, pace, near)[:2] for start in range(min(marks, len(t_s)))]
    back = [(last - at[::-1], turns[-1] - turns[::-1]) for at, turns in back]
    found = []
    for at, turns, _ in ahead:
        ways = [np.intersect1d(at, other, assume_unique=True, return_indices=True) for other, _ in back]
        best = int(np.argmax([len(common) for common, _, _ in ways]))
        common, here, there = ways[best]
        if len(common) > 1 and np.ptp(turns[here] - back[best][1][there]) == 0:
            found.append((common, turns[here] - turns[here[0]]))
        else:
            found.append((at[:1], turns[:1]))
    return found


def _like_its_neighbours(t_s, turns):
    """Pulses on both sides of which a turn takes about as long as those around it."""
    pace = np.diff(t_s) / np.diff(turns)
    misfit = np.abs(pace / median_filter(pace, size=5, mode="mirror") - 1)
    worst = np.fmax(np.append(misfit, 0), np.append(0, misfit))
    return worst <= max(4 * float(np.median(misfit)), LIKE)


def _first_turn(t_s, told):
    """The shortest time after which nearly every pulse has a partner. [s]"""
    interval = np.diff(t_s)
    usual = float(np.median(interval))
    tried = usual * 1.2 * 1.005 ** np.arange(int(np.log(MOST_MARKS) / np.log(1.005)))
    tried = tried[tried < (t_s[-1] - t_s[0]) / 3]
    if not len(tried):
        return None
    share = np.array([_partnered(t_s, turn) for turn in tried])
    good = np.flatnonzero(share >= max(0.95 * share.max(), HELD))
    if told and told > 1:
        stated = told * (t_s[-1] - t_s[0]) / (len(t_s) - 1)
        there = np.flatnonzero((share > HELD) & (np.abs(tried / stated - 1) < STATED))
        if len(there) and not (
            len(good) and good[0] < there[0]
        ):  # a shorter one speaks against what was stated
            good = there
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


def _chain(t_s, start, turn, near):
    """Places in the list at which one mark came by, the turns counted between them, and the last turn's length."""
    at, turns, pace = [start], [0], turn
    ahead = 1
    while t_s[at[-1]] + ahead * pace < t_s[-1] + near * turn and ahead < 8:
        expected = t_s[at[-1]] + ahead * pace
        i = int(np.clip(np.searchsorted(t_s, expected), 1, len(t_s) - 1))
        nearest = i if t_s[i] - expected < expected - t_s[i - 1] else i - 1
        if nearest > at[-1] and abs(t_s[nearest] - expected) < near * pace * min(ahead, 2):
            pace += 0.7 * ((t_s[nearest] - t_s[at[-1]]) / ahead - pace)
            at.append(nearest)
            turns.append(turns[-1] + ahead)
            ahead = 1
        else:
            ahead += 1
    return np.array(at), np.array(turns), pace
