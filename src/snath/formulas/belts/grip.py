"""When does a belt slip: wedge friction and wrap at every loaded sheave.

Going with the belt from the driver, the run is slackest behind the driver and every driven sheave adds its
own pull; the tightest run enters the driver. Each loaded sheave slips on its own wrap and its own slack run.
"""

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from snath.formulas.belts.capacity import ratings
from snath.formulas.belts.sections import SI, Fact
from snath.quantities.constants import FOOT, MINUTE
from snath.quantities.errors import within

FOOT_PER_MINUTE = float(FOOT / MINUTE)


def wedge_friction(*, friction: Any, groove_angle: Any) -> Any:
    """Friction as it acts in a groove, f = mu / sin(beta / 2).

    Parameters
    ----------
    friction : array_like
        Of the material on a flat, 0 to 2. [1]
    groove_angle : array_like
        Full angle, over 0 and under pi. [rad]

    Returns
    -------
    ndarray or float
        [1]

    Raises
    ------
    InputError
        If an element is not a number inside the range above.
    """
    beta = within("groove angle", groove_angle, 0, math.pi, "rad", open_low=True, open_high=True)
    return within("friction", friction, 0, 2) / np.sin(beta / 2)


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
    """
    return np.exp(within("friction", friction, 0, 5) * within("wrap", wrap, 0, 2 * math.pi, "rad"))


def friction_for(*, ratio: float, wrap: float) -> float:
    """Friction that gives a tension ratio over a wrap, ln(ratio) / theta.

    Parameters
    ----------
    ratio : float
        At least 1. [1]
    wrap : float
        Over 0. [rad]

    Returns
    -------
    float
        [1]

    Raises
    ------
    InputError
        If an element is not a number inside the range above.
    """
    within("ratio", ratio, 1, 1e6)
    return math.log(ratio) / float(within("wrap", wrap, 0, 2 * math.pi, "rad", open_low=True))


def figure(what: str) -> Fact:
    """A figure of the grip table by its name, in SI."""
    row = next(row for row in ratings()["grip"] if row["what"] == what)
    factor = FOOT_PER_MINUTE if row["unit"] == "ft/min" else SI[row["unit"]]
    printed = row["value"] if row["unit"] == "1" else f"{row['value']} {row['unit']}"
    return Fact(float(row["value"]) * factor, printed, row["source"], row["edition"], row["standing"])


@dataclass(frozen=True, slots=True)
class Loaded:
    """A sheave that takes or gives power.

    Attributes
    ----------
    name : str
        As on the route.
    wrap : float
        [rad]
    pull : float
        Power at this sheave over belt speed. [N]
    """

    name: str
    wrap: float
    pull: float


def grip_margins(
    *, driver: Loaded, driven: tuple[Loaded, ...], slack: float, friction: float, centrifugal: float = 0.0
) -> dict[str, float]:
    """By which share each loaded sheave could pull more before it slips; under 0 it slips.

    Parameters
    ----------
    driver : Loaded
        Its pull is the sum of the driven ones. [N]
    driven : tuple of Loaded
        In the order in which the belt meets them after leaving the driver. [N]
    slack : float
        Pull in the run behind the driver, running. [N]
    friction : float
        As it acts in the groove. [1]
    centrifugal : float
        [N]

    Returns
    -------
    dict
        Name to margin; -1 where nothing grips at all. [1]
    """
    margins: dict[str, float] = {}
    run = slack - centrifugal
    for sheave in (*driven, driver):
        behind = slack - centrifugal if sheave is driver else run
        most = max(behind, 0.0) * (float(tension_ratio(friction=friction, wrap=sheave.wrap)) - 1)
        margins[sheave.name] = most / sheave.pull - 1 if sheave.pull > 0 else math.inf
        run += 0.0 if sheave is driver else sheave.pull
    return margins


def cube_law(*, power: Any, rotation: Any, reference: Any) -> Any:
    """Power a blade or fan takes at another speed, P (n / n0)^3: a stated model, change it where known better.

    Parameters
    ----------
    power : array_like
        At the reference speed. [W]
    rotation, reference : array_like
        The two speeds, reference over 0. [rev/s]

    Returns
    -------
    ndarray or float
        [W]

    Raises
    ------
    InputError
        If an element is not a number inside the range above.
    """
    base = within("reference", reference, 0, 500, "rev/s", open_low=True)
    return np.asarray(power) * (within("rotation", rotation, 0, 500, "rev/s") / base) ** 3
