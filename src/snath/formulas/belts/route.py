"""Route a belt round any number of sheaves and idlers in one plane: its length, and where it fails."""

import math

from snath.formulas.belts.loop import Pulley, Route, loop_of, other_way
from snath.formulas.belts.route_faults import no_loop, refuse_crossing, refuse_no_contact, refuse_unusable


def lay(pulleys: tuple[Pulley, ...], *, clockwise: bool = False) -> Route:
    """Lay a belt round pulleys in the order in which it meets them.

    The same order run the other way is another route: an idler between two sheaves then sits on the other
    strand. So the way the belt goes round, as drawn, is asked for and never guessed.

    Parameters
    ----------
    pulleys : tuple of Pulley
        At least two, in the order in which the belt meets them on its way. [m]
    clockwise : bool
        Whether the belt goes round clockwise as drawn.

    Returns
    -------
    Route
        With pulleys turned into counter-clockwise order; the first stays first.

    Raises
    ------
    InputError
        If names repeat, pulleys touch, the belt misses one, crosses itself or runs into one.

    References
    ----------
    .. [1] By geometry, worked out at the top of `loop`; held against hulls and rolled belts in the tests.
    """
    refuse_unusable(pulleys)
    order = other_way(pulleys) if clockwise else pulleys
    loop = loop_of(order)
    if loop is None:
        raise no_loop(order)
    spans, wraps = loop
    refuse_no_contact(order, wraps)
    refuse_crossing(order, spans)
    arcs = math.fsum(p.radius * w for p, w in zip(order, wraps, strict=True))
    return Route(order, spans, wraps, math.fsum(s.length for s in spans) + arcs)
