"""What speed does a belt give: of the shaft it drives, and of its rims?"""

from typing import Any

import numpy as np

from snath.formulas.belts.pair import LARGEST
from snath.quantities.errors import within


def driven_rotation(*, rotation: Any, driver: Any, driven: Any, thickness: Any = 0.0, slip: Any = 0.0) -> Any:
    """Speed of the driven shaft, n (d1 + t) / (d2 + t) (1 - s).

    Parameters
    ----------
    rotation : array_like
        Driver shaft, n, 0 to 500. [rev/s]
    driver, driven : array_like
        Diameters the belt lies on. [m]
    thickness : array_like
        Of a flat belt, whose middle runs half of it outside the rim; 0 where the diameters are those of
        the belt line already. [m]
    slip : array_like
        Share of speed lost, 0 to under 1. It never counts towards passing a limit. [1]

    Returns
    -------
    ndarray or float
        Broadcast shape. [rev/s]

    Raises
    ------
    InputError
        If an element is not a number inside the range above.
    """
    n = within("rotation", rotation, 0, 500, "rev/s")
    d1 = within("driver", driver, 0, LARGEST, "m", open_low=True)
    d2 = within("driven", driven, 0, LARGEST, "m", open_low=True)
    t = within("thickness", thickness, 0, 0.1, "m")
    s = within("slip", slip, 0, 1, open_high=True)
    return n * (d1 + t) / (d2 + t) * (1 - s)


def rim_speed(*, rotation: Any, diameter: Any) -> Any:
    """Speed of a sheave's rim or of a belt line, v = pi n D.

    Parameters
    ----------
    rotation : array_like
        Shaft, 0 to 500. [rev/s]
    diameter : array_like
        Outside for the rim, pitch for the belt. [m]

    Returns
    -------
    ndarray or float
        Broadcast shape. [m/s]

    Raises
    ------
    InputError
        If an element is not a number inside the range above.
    """
    n = within("rotation", rotation, 0, 500, "rev/s")
    return np.pi * n * within("diameter", diameter, 0, LARGEST, "m", open_low=True)
