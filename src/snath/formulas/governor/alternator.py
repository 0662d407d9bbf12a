"""Convert between an alternator's frequency and its shaft speed."""

from typing import Any

from snath.quantities.errors import InputError, within
from snath.quantities.message import Message


def alternator_frequency(*, rotation: Any, poles: int) -> Any:
    """Frequency of an alternator, f = n p / 2 with n in rev/s (n p / 120 in rpm).

    Parameters
    ----------
    rotation : array_like
        Of its shaft, n, 0 to 500. [rev/s]
    poles : int
        p, an even whole number, 2 to 100. [1]

    Returns
    -------
    ndarray or float
        Same shape as the input. [Hz]

    Raises
    ------
    InputError
        If an element is not a number inside the ranges above.

    Notes
    -----
    Not for inverter sets: their frequency is made electronically and is not tied to speed.

    References
    ----------
    .. [1] From memory: any text on electrical machines.
    """
    return within("rotation", rotation, 0, 500, "rev/s") * _pairs(poles)


def alternator_speed(*, frequency: Any, poles: int) -> Any:
    """Shaft speed behind a frequency, n = 2 f / p.

    Parameters
    ----------
    frequency : array_like
        f, 0 to 1,000. [Hz]
    poles : int
        p, an even whole number, 2 to 100. [1]

    Returns
    -------
    ndarray or float
        Same shape as the input. [rev/s]

    Raises
    ------
    InputError
        If an element is not a number inside the ranges above.

    References
    ----------
    .. [1] `alternator_frequency` turned round.
    """
    return within("frequency", frequency, 0, 1000, "Hz") / _pairs(poles)


def _pairs(poles: int) -> float:
    """Pole pairs, so that one turn makes as many cycles."""
    count = within("poles", poles, 2, 100)
    if count % 2:
        raise InputError("poles", poles, Message("governor.poles-even"))
    return float(count / 2)
