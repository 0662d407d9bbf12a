"""Hold how fast engines usually run, where a sheet does not say (common practice, no source)."""

USUAL_IDLE, USUAL_TOP = 1750 / 60, 3600 / 60  # rev/s
OVER_RATED = 1.5  # times its rated speed: no engine is left running faster, a reading may look so
