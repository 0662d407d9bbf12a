"""Measure how much later each row of a picture flickers, beyond what the mark's own travel explains.

A mark that goes round is seen at place b of the turn when m (n t - s b) is whole, with m marks and s = 1 or -1 for the
way it turns. A row that is taken y T after the first, y being its share of the picture and T the readout time, sees
it at t + y T. So each cell repeats at the phase m n t + m n T y - m s b: once the travel b round the part is taken
off, the slope over the rows is m n T, the rate itself and not its fold.

What else bends the phase once round the part, as rows do, is a middle that is mistaken and a view that is oblique.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np

from snath.formulas.signals.film.fit import HARMONICS, pattern
from snath.formulas.signals.film.foretold import widest_gap

CELLS = 500  # that are looked at
STRONG = 0.3  # share of a strong cell's flicker from which a cell counts
LEAST_CELLS = 24
SECTORS, SEEN = 12, 10  # parts of the turn, and in how many of them the mark must be seen
WIDEST_GAP = 0.06  # share of a repetition that no frame shows, above which harmonics cannot be told apart
SLOPES = np.arange(-10.0, 10.0, 0.05)  # repetitions over the picture that are looked for
SCATTER, LEAST_SCATTER = 0.04, 0.003  # repetitions by which cells may stray and be believed, and always may
IN_STEP = 0.95  # share of all harmonics that must keep the phase of the first
INDEPENDENT = 12.0  # cells that count as independent: neighbours stray alike
OFF_CENTRE = 0.1  # share of the mark's radius by which its middle may be mistaken, standard uncertainty
OBLIQUE = 0.1  # repetitions of the second harmonic that an oblique view may bring, standard uncertainty
AS_ONE = 0.7  # share of the cells that keep a phase by row alone, from which a lamp may be all there is
MOST_MARKS = 6  # alike marks that are told apart
GOES_ROUND, GOES_NOT = 0.9, 0.75  # shares of the cells that keep the phase of a mark, and of no mark
LENS = 1.6  # picture's height over the distance, a phone's widest lens; by hand: 36 mm 9/16 over 13 mm


@dataclass(frozen=True, slots=True)
class RowSlope:
    """By how much the last row runs ahead of the first.

    Attributes
    ----------
    slope : float
        Repetitions over the height of the picture, positive where it is read from the top down. [1]
    u : float
        Its standard uncertainty from the pictures. [1]
    view : float
        By how much more an oblique view through a wide lens may mistake it, at most. [1]
    """

    slope: float
    u: float
    view: float


@dataclass(frozen=True, slots=True)
class _Cells:
    """What each cell shows: harmonics, phase [1] and weight of the first, and where it lies in picture heights."""

    harmonics: np.ndarray
    phase: np.ndarray
    weight: np.ndarray
    down: np.ndarray
    right: np.ndarray


def row_slope(cells: Any, at: Any, *, phase: Any, marks: int, lit_at_once: bool = False) -> RowSlope | None:
    """The slope of the phase over the rows of a picture.

    Parameters
    ----------
    cells : ndarray, shape (n, rows, columns)
        Brightness in each frame. [any]
    at : ndarray, shape (k,)
        Which cells flicker, counted row by row. [1]
    phase : ndarray, shape (n,)
        Repetitions done at each frame. [1]
    marks : int
        Alike marks round the part. [1]
    lit_at_once : bool
        Whether it stands still and is lit by a flash, so that nothing travels.

    Returns
    -------
    RowSlope or None
        None where the cells do not follow the law, or the mark is not seen all round.
    """
    if widest_gap(phase) > WIDEST_GAP:
        return None
    seen = _seen(cells, at, phase)
    if len(seen.phase) < LEAST_CELLS:
        return None
    if lit_at_once:
        start = _steepest(seen, seen.phase)[1]
        return _fitted(seen, start * seen.down, _plain(seen), [np.inf] * 3, start, 0)
    x, y = _from_the_middle(seen)
    place = np.arctan2(y, x) / (2 * np.pi)
    if not _all_round(place):
        return None
    (_, start), way = max((_steepest(seen, seen.phase - way * place), way) for way in (-marks, marks))
    radius = np.hypot(x, y)
    usual = float(np.median(radius))
    bent = np.column_stack([np.cos(4 * np.pi * place), np.sin(4 * np.pi * place)])
    shifted = np.column_stack([y, -x]) * (way / (2 * np.pi * radius**2))[:, None]
    loose = [np.inf] * 3 + [OBLIQUE * marks] * 2 + [OFF_CENTRE * usual] * 2
    law = np.hstack([_plain(seen), bent, shifted])
    return _fitted(seen, way * place + start * seen.down, law, loose, start, marks)


def marks_seen(cells: Any, at: Any, *, phase: Any) -> int | None:
    """How many alike marks go round, by how often the phase goes round with the place on one turn.

    One mark comes by every place once a repetition, one place after the other all round; of two, opposite places show
    the two at once. So it is seen that a mark told is missing, too faint or covered, and that one more is there.

    Parameters
    ----------
    cells : ndarray, shape (n, rows, columns)
        Brightness in each frame. [any]
    at : ndarray, shape (k,)
        Which cells flicker, counted row by row. [1]
    phase : ndarray, shape (n,)
        Repetitions done at each frame. [1]

    Returns
    -------
    int or None
        None where it is not seen all round, or no number fits clearly better than every other.
    """
    seen = _seen(cells, at, phase)
    if len(seen.phase) < LEAST_CELLS:
        return None
    x, y = _from_the_middle(seen)
    place = np.arctan2(y, x) / (2 * np.pi)
    if not _all_round(place):
        return None
    ways = np.arange(1, MOST_MARKS + 1)[:, None, None] * np.array(
        [[1], [-1]]
    )  # so many marks, going either way
    agree = _agreement(seen, seen.phase - ways * place).max(axis=(1, 2))
    best, next_best = np.argsort(agree)[::-1][:2]
    return int(best) + 1 if agree[best] >= GOES_ROUND and agree[next_best] <= GOES_NOT else None


def flicker_by_rows(cells: Any, at: Any, *, phase: Any) -> bool:
    """Whether the cells of each row flicker as one, as under a lamp, and not one after the other as a mark comes by.

    Cells that are darker where others are lighter count as one too: so a lamp looks that was taken out too far.

    Parameters
    ----------
    cells : ndarray, shape (n, rows, columns)
        Brightness in each frame. [any]
    at : ndarray, shape (k,)
        Which cells flicker, counted row by row. [1]
    phase : ndarray, shape (n,)
        Repetitions done at each frame. [1]

    Returns
    -------
    bool
        Also True where hardly any cell flickers in step.
    """
    seen = _seen(cells, at, phase)
    return len(seen.phase) == 0 or _steepest(seen, 2 * seen.phase)[0] > AS_ONE


def _seen(cells: Any, at: Any, phase: Any) -> _Cells:
    """The phase of each strong cell's first harmonic."""
    rows, columns = cells.shape[1:]
    at = at[:: max(-(-len(at) // CELLS), 1)]
    courses = cells.reshape(len(cells), -1)[:, at].astype(float)
    amount = pattern(phase, courses - courses.mean(axis=0))[3]
    harmonics = amount[:HARMONICS] - 1j * amount[HARMONICS:]
    first = harmonics[0]
    strong = np.abs(first) > STRONG * np.quantile(np.abs(first), 0.9) if len(at) else np.zeros(0, dtype=bool)
    first, at = first[strong], at[strong]
    weight = np.abs(first) ** 2
    return _Cells(
        harmonics[:, strong],
        np.angle(first) / (2 * np.pi),
        weight / max(weight.sum(), 1e-30),
        (at // columns + 0.5) / rows,
        (at % columns + 0.5) / rows,
    )


def _plain(seen: _Cells) -> Any:
    """What may always be: any phase, and a slope over rows and over columns."""
    return np.column_stack([np.ones(len(seen.down)), seen.down, seen.right])


def _from_the_middle(seen: _Cells) -> Any:
    """Where each cell lies from the middle of the circle x^2 + y^2 = 2 a x + 2 b y + c that fits them best."""
    design = np.column_stack([2 * seen.right, 2 * seen.down, np.ones(len(seen.down))])
    middle = np.linalg.lstsq(design, seen.right**2 + seen.down**2, rcond=None)[0]
    return seen.right - middle[0] + 1e-9, seen.down - middle[1]


def _all_round(place: Any) -> bool:
    """Whether cells lie in nearly all parts of the turn."""
    return len(np.unique(np.floor(place % 1 * SECTORS))) >= SEEN


def _steepest(seen: _Cells, phase: Any) -> tuple[float, float]:
    """How well phases agree at the slope over the rows at which they agree best, and that slope."""
    agree = _agreement(seen, phase)
    return float(agree.max()), float(SLOPES[agree.argmax()])


def _agreement(seen: _Cells, phase: Any) -> Any:
    """How well phases [shape=(..., cells)] agree at each slope over the rows [shape=(..., slopes)]."""
    return np.abs(
        (seen.weight * np.exp(2j * np.pi * phase)) @ np.exp(-2j * np.pi * np.outer(seen.down, SLOPES))
    )


def _fitted(seen: _Cells, guess: Any, law: Any, loose: Any, start: Any, marks: Any) -> RowSlope | None:
    """Least squares about a first guess, the middle and the view free within what they may be."""
    turned = np.exp(2j * np.pi * (seen.phase - guess))
    rest = np.angle(turned / (seen.weight @ turned)) / (2 * np.pi)
    known = law.T @ (seen.weight[:, None] * law)
    left = SCATTER
    for _ in range(2):
        held = np.diag([(left / u) ** 2 / INDEPENDENT for u in loose])
        spread = np.linalg.inv(known + held)
        found = spread @ (law.T @ (seen.weight * rest))
        left = max(float(np.sqrt(seen.weight @ (rest - law @ found) ** 2)), LEAST_SCATTER)
    u = left * np.sqrt(np.diag(spread) / INDEPENDENT)
    view = _view(np.hypot(*(np.abs(found[3:5]) + u[3:5])) / marks) * marks if marks else 0.0
    sideways = abs(found[2]) > 3 * u[2] + view  # rows cannot do that
    if left > SCATTER or sideways or _in_step(seen, guess + law @ found) < IN_STEP:
        return None
    return RowSlope(float(start + found[1]), float(u[1]), float(view))


def _in_step(seen: _Cells, phase: Any) -> float:
    """Share of all harmonics that keep the phase of the first.

    A rate at which the same pictures come in another order explains them about as well near a simple fraction of the
    frame rate, but takes harmonics for one another, and so their slopes.
    """
    number = np.arange(1, HARMONICS + 1)[:, None]
    turned = seen.harmonics * np.abs(seen.harmonics) * np.exp(-2j * np.pi * number * phase)
    return float(np.abs(turned.sum(axis=1)).sum() / (np.abs(seen.harmonics) ** 2).sum())


def _view(bent: Any) -> float:
    """Slope that a view brings, by the second harmonic it brings: what lies further away is seen nearer the middle.

    A disc that leans by a is seen as an ellipse of axes 1 and cos a, of second harmonic
    (1 - cos a) / (1 + cos a) / 2 pi (by hand, to first order). Through a lens near by, its angles are off by
    sin a over the distance, times the place in the picture.
    """
    ratio = min(2 * np.pi * bent, 1.0)
    cos = (1 - ratio) / (1 + ratio)
    return float(LENS * np.sqrt(1 - cos**2) / (2 * np.pi))
