"""Say how fast an engine runs in one condition, as an interval, from its speed in another."""

import math

from snath.decisions.machine.parts import Condition, Engine

UNSAID_DROOP = {
    "air vane": 0.20
}  # on the loaded speed, where the sheet states none (common practice, no source)
USUAL_DROOP = 0.10  # of any other governor, likewise
ORDER: tuple[Condition, ...] = (
    "cutting",
    "blades in air",
    "blades off",
)  # slowest first, one throttle setting

Span = tuple[float, float]


def span(engine: Engine, *, read: Condition, wanted: Condition, hunts: bool) -> Span:
    """Least and most the wanted condition's speed is of the one read.

    The engine runs the faster the less it drives, and a governor lets it fall by its droop from no load at all to
    full load: lever on its stop, governor in order, no hunting. Where that does not hold, nothing bounds it. A peak is
    never slower than what is sustained.
    """
    if read == wanted:
        return 1.0, 1.0
    if "idle" in (read, wanted):
        return 0.0, math.inf  # another throttle: it says nothing of the top
    if read == "peak":
        return 0.0, 1.0
    if wanted == "peak":
        return 1.0, math.inf
    fall = math.inf if hunts else droop(engine)
    if ORDER.index(wanted) > ORDER.index(read):
        # by how much of the full load nobody knows, so no ceiling is cleared by it
        loaded = read == "cutting"
        return 1.0, math.inf if loaded else 1 + fall
    return 1 / (1 + fall), 1.0


def droop(engine: Engine) -> float:
    """Fall from no load to full load over the loaded speed; no end to it without a governor. [1]"""
    if engine.governor == "none" or (engine.electric and engine.droop is None):
        return math.inf
    if engine.droop is not None:
        return engine.droop
    return UNSAID_DROOP.get(engine.governor, USUAL_DROOP)
