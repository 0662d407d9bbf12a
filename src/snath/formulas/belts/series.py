"""The handbooks' series for two sheaves and an open belt, for comparison with their printed examples only."""

from typing import Any

import numpy as np

from snath.formulas.belts.pair import SheavePair
from snath.quantities.errors import InputError
from snath.quantities.message import Message


def series_length(pair: SheavePair) -> Any:
    """Belt length by the series of the handbooks, 2 C + pi (D + d) / 2 + (D - d)^2 / 4C.

    Notes
    -----
    Short of the exact length by about (D - d)^4 / 192 C^3; for comparison with printed examples only.

    Parameters
    ----------
    pair : SheavePair
        The drive. [m]

    Returns
    -------
    ndarray or float
        A little short. [m]
    """
    total, apart = np.asarray(pair.driver, float) + pair.driven, np.asarray(pair.driver, float) - pair.driven
    return 2 * pair.centres + np.pi / 2 * total + apart**2 / (4 * np.asarray(pair.centres))


def series_centres(*, driver: float, driven: float, length: float) -> float:
    """Distance between shafts that gives `length` by the series of the handbooks.

    Parameters
    ----------
    driver, driven : float
        Diameters. [m]
    length : float
        Belt length. [m]

    Returns
    -------
    float
        C = (B + sqrt(B^2 - 2 (D - d)^2)) / 4 with B = L - pi (D + d) / 2. [m]

    Raises
    ------
    InputError
        If the belt is too short for sheaves of these sizes.
    """
    rest = length - np.pi / 2 * (driver + driven)
    root = rest**2 - 2 * (driver - driven) ** 2
    if not (rest > 0 and root >= 0):
        raise InputError("belt length", f"{length:g} m", Message("belt.too-short-for-sheaves"))
    return float((rest + np.sqrt(root)) / 4)
