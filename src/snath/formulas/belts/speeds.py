"""Give the speed of a belt and of a sheave's rim."""

from typing import Any

import numpy as np

from snath.formulas.belts.pair import LARGEST
from snath.quantities.errors import within


def rim_speed(*, rotation: Any, diameter: Any) -> Any:
    """Speed of a sheave's rim or of a belt line, v = pi n D.

    Parameters
    ----------
    rotation : array_like
        Shaft, 0 to 500. [rev/s]
    diameter : array_like
        Outside for the rim, pitch for the belt; over 0 and at most 5. [m]

    Returns
    -------
    ndarray or float
        Broadcast shape. [m/s]

    Raises
    ------
    InputError
        If an element is not a number inside the range above.

    References
    ----------
    .. [1] By definition of a turn.
    """
    n = within("rotation", rotation, 0, 500, "rev/s")
    return np.pi * n * within("diameter", diameter, 0, LARGEST, "m", open_low=True)
