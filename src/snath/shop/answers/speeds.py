"""Round a shaft speed as JSON has it: a ceiling down, a floor up, a band to its inside."""

import math


def floor_rpm(speed: float | None) -> int | None:
    """A ceiling in whole rpm, rounded down."""
    return None if speed is None else math.floor(round(speed * 60, 6))


def ceil_rpm(speed: float | None) -> int | None:
    """A floor in whole rpm, rounded up."""
    return None if speed is None else math.ceil(round(speed * 60, 6))


def tenth_rpm(speed: float | None) -> float | None:
    """A reading or target to a tenth of a revolution per minute."""
    return None if speed is None else round(speed * 60, 1)


def hundredth_rpm(speed: float | None, *, up: bool) -> float | None:
    """An end of a band to a hundredth, rounded to its inside."""
    if speed is None:
        return None
    return (math.ceil if up else math.floor)(round(speed * 6000, 4)) / 100
