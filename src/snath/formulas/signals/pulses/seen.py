"""Tell what a list of pulses is of: a wheel with missing teeth, unevenly placed marks, or an even wheel."""

from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy.ndimage import median_filter

from snath.formulas.signals.pulses.edges import Edges, alone, kept_edges
from snath.formulas.signals.pulses.layout import Layout, layout_of
from snath.formulas.signals.pulses.wheel import repeat_length, wheel_from_gaps
from snath.quantities.message import Message

UNEVEN = 0.15  # share of unexplained intervals from which a wheel is not told by its gaps
DOUBTFUL = 0.03  # the same from which even places are not counted by intervals
LURCHING = (
    0.25  # the same where there is one mark and nothing to be uneven: an engine may hunt from spark to spark
)
PLAIN = 0.02  # share of unexplained intervals up to which no other layout is looked for
SPARSE = 0.06  # the same of places without a pulse
CROWDED = 0.08  # the same of pulses that were taken for doubled
LEAN = 0.12  # share of the usual distance by which an evenly placed mark may stand off
FEW_LOST = 1.25  # pulses to a mark up to which they speak for marks that were not told apart
LIKE = 0.01  # share by which a turn may differ from those about it and its ends count as firm


@dataclass(frozen=True, slots=True)
class Seen:
    """What the pulses say of the wheel.

    Attributes
    ----------
    edges : Edges
        The pulses kept, each with its place.
    found : Message
        What the wheel is.
    whole : int
        Places after which the same mark comes by. [1]
    round_after : float or None
        Places after which the pattern comes round; None of an even wheel. [1]
    fewest, most : int
        Marks until then. [1]
    empty : int
        Places of a wheel without a tooth. [1]
    times : int
        How often the pattern comes round within what was first found to. [1]
    """

    edges: Edges
    found: Message
    whole: int = 1
    round_after: float | None = None
    fewest: int = 0
    most: int = 0
    empty: int = 0
    times: int = 1


def seen_in(t_s: Any, *, told: float | None = None) -> Seen | None:
    """The wheel with missing teeth, the layout or the even wheel that made the pulses.

    Parameters
    ----------
    t_s : ndarray, shape (n,)
        Rising moments. [s]
    told : float or None
        Marks a turn as stated. [1]

    Returns
    -------
    Seen or None
        None where nothing that comes round made them.
    """
    edges = kept_edges(t_s)
    one = told is not None and told <= 1  # one mark cannot be uneven
    wheel = wheel_from_gaps(edges.slot)
    empty = edges.empty / (edges.slot[-1] + 1) if wheel is None else 0.0
    plain = (
        edges.odd <= (PLAIN if wheel is None else PLAIN / 4)
        and empty <= SPARSE
        and edges.doubled <= CROWDED * len(t_s)
    )
    layout = None if plain else layout_of(t_s, told=told)
    if wheel is not None and edges.odd <= UNEVEN and (layout is None or _agree(edges, wheel.places, layout)):
        found = Message("pulses.wheel", places=wheel.places, empty=wheel.empty)
        marks = wheel.places - wheel.empty
        return Seen(edges, found, wheel.places, wheel.places, marks, wheel.places, wheel.empty)
    if layout is not None and _even(layout, len(t_s)):
        edges = _edges_of(t_s, layout)
    elif layout is not None and not (one and edges.odd <= LURCHING):
        return _laid_out(t_s, layout)
    if edges.odd > (LURCHING if one else DOUBTFUL) or edges.empty > edges.slot[-1] / 2:
        return None
    repeat = repeat_length(edges.t_s, edges.slot)
    if repeat is None:
        return Seen(edges, Message("pulses.even"))
    return Seen(edges, Message("pulses.even-after", every=repeat))


def _even(layout: Layout, pulses: int) -> bool:
    """Whether its marks stand as far apart as each other, or there is only one, and made the pulses there are."""
    count = len(layout.places)
    apart = np.diff(np.append(layout.places, layout.places[0] + 1)) * count
    held = layout.most <= count and pulses < 1.5 * (layout.slot[-1] + 1)
    return bool(held and np.all(np.abs(apart - 1) < LEAN))


def _agree(edges: Edges, places: int, layout: Layout) -> bool:
    """Whether a wheel's turns, counted by intervals, are the layout's over what both have."""
    counted = float(np.diff(np.interp(layout.t_s[[0, -1]], edges.t_s, edges.slot))[0])
    return bool(abs(counted / places - layout.slot[-1] / len(layout.places)) < 0.5)


def _laid_out(t_s: Any, layout: Layout) -> Seen:
    """A layout of unevenly placed marks, by the shortest part of it that comes round."""
    times, count = layout.sooner, len(layout.places)
    pulses = (len(t_s) - 1) / (t_s[-1] - t_s[0]) / layout.rate / times
    fewest, most = round(layout.fewest / times), round(layout.most / times)
    if pulses < FEW_LOST * fewest:  # of many marks some may stand too close to others to be told apart
        most = max(most, round(pulses))
    found = Message("pulses.marks", marks=fewest)
    if fewest < most:
        found = Message("pulses.marks-between", fewest=fewest, most=most)
    return Seen(_edges_of(t_s, layout), found, count, count / times, fewest, most, times=times)


def _edges_of(t_s: Any, layout: Layout) -> Edges:
    """The layout's pulses as places passed, firm where they stand alone and turns beside them are like the rest."""
    count = len(layout.places)
    firm = alone(t_s, 0.2 / layout.rate / count)[np.searchsorted(t_s, layout.t_s)]
    for place in range(count):
        same = np.flatnonzero(layout.slot % count == place)
        if len(same) > 1:
            firm[same] &= _like_its_neighbours(layout.t_s[same], layout.slot[same])
    scatter = 1.4826 * float(np.median(np.abs(layout.off))) / layout.rate
    return Edges(layout.t_s, layout.slot, max(len(t_s) - len(layout.t_s), 0), 0.0, firm, scatter)


def _like_its_neighbours(t_s: Any, slot: Any) -> Any:
    """Pulses of one mark on both sides of which a turn takes about as long as those around it."""
    pace = np.diff(t_s) / np.diff(slot)
    misfit = np.abs(pace / median_filter(pace, size=5, mode="mirror") - 1)
    worst = np.fmax(np.append(misfit, 0), np.append(0, misfit))
    return worst <= max(4 * float(np.median(misfit)), LIKE)
