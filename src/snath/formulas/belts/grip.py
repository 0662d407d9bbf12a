"""Work out when a belt slips: wedge friction and wrap at every loaded sheave.

Going with the belt from the driver, the run is slackest behind the driver and every driven sheave adds its
own pull; the tightest run enters the driver. Each loaded sheave slips on its own wrap and its own slack run.
"""

import math
from typing import Any

import numpy as np

from snath.formulas.belts.capacity import ratings
from snath.formulas.belts.sections import SI, Fact
from snath.quantities.constants import FOOT, MINUTE
from snath.quantities.errors import within

FOOT_PER_MINUTE = float(FOOT / MINUTE)


def tension_ratio(*, friction: Any, wrap: Any) -> Any:
    """Largest ratio of tight to slack pull before slipping, exp(f theta), centrifugal pull taken off both.

    Parameters
    ----------
    friction : array_like
        As it acts, 0 to 5. [1]
    wrap : array_like
        Angle of contact, 0 to 2 pi. [rad]

    Returns
    -------
    ndarray or float
        At least 1. [1]

    Raises
    ------
    InputError
        If an element is not a number inside the range above.

    References
    ----------
    .. [1] Euler and Eytelwein's rope on a drum, as in Shigley's Mechanical Engineering Design, ch. 17 (from memory).
    """
    return np.exp(within("friction", friction, 0, 5) * within("wrap", wrap, 0, 2 * math.pi, "rad"))


def figure(what: str) -> Fact:
    """A figure of the grip table by its name, in SI."""
    row = next(row for row in ratings()["grip"] if row["what"] == what)
    factor = FOOT_PER_MINUTE if row["unit"] == "ft/min" else SI[row["unit"]]
    printed = row["value"] if row["unit"] == "1" else f"{row['value']} {row['unit']}"
    return Fact(float(row["value"]) * factor, printed, row["source"], row["edition"], row["standing"])
