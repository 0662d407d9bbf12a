"""Hold how fast engines usually run, where a sheet does not say (common practice, no source)."""

from snath.decisions.machine.parts import Engine

USUAL_IDLE, USUAL_TOP = 1750 / 60, 3600 / 60  # rev/s
OVER_RATED = 1.5  # times its rated speed: no engine is left running faster, a reading may look so
OPEN_RANGE = (700 / 60, 15_000 / 60)  # idle of the slowest mower to a two-stroke at its ignition limiter


def fastest(engine: Engine) -> float:
    """Fastest an engine may be taken to have run; a two-stroke without its maker's figure may be a saw. [rev/s]"""
    if engine.rated_max is not None:
        return OVER_RATED * engine.rated_max
    return OPEN_RANGE[1] if engine.strokes == 2 else OVER_RATED * USUAL_TOP
