"""Rate one belt by the published tables, and count the belts a drive needs.

Shown, never a filter: no page of the rating table was read, only its equation is remembered. Special
aramid-cord clutching belts, as on most mower decks, and light-duty sections have no rating here at all.
"""

import math
import tomllib
from functools import cache
from itertools import pairwise
from typing import Any

from snath.formulas.belts.sections import Fact, groove_of
from snath.quantities.constants import HORSEPOWER, INCH
from snath.quantities.errors import InputError, within
from snath.quantities.message import Amount, Message
from snath.quantities.shipped import shipped_text


@cache
def ratings() -> dict[str, Any]:
    """The rating tables as they stand in `ratings.toml`."""
    return tomllib.loads(shipped_text("snath.formulas.belts", "ratings.toml"))


def has_rating(section: str) -> bool:
    """Whether a rating equation is known for a belt section."""
    return any(row["section"] == section for row in ratings()["rating"])


def rated_power(*, section: str, diameter: float, rotation: float, ratio: float = 1.0) -> Fact:
    """Power one belt is rated for at half a turn of wrap and the length the table was made for.

    hp = d r [K1 - K2/d - K3 (d r)^2 - K4 log10(d r)] + K2 r (1 - 1/K_SR).

    Parameters
    ----------
    section : str
        Belt section; the equation is empirical, of the edition named in the result.
    diameter : float
        Datum diameter of the smaller sheave, over 0 and at most 1. [m]
    rotation : float
        Of the faster shaft, over 0 and at most 200. [rev/s]
    ratio : float
        Faster over slower shaft, at least 1. [1]

    Returns
    -------
    Fact
        With its standing. [W]

    Raises
    ------
    InputError
        If the section has no rating, a value is out of range, or the belt runs so fast or on so small a
        sheave that nothing is left to carry.
    """
    row = _row("rating", section, Message("belt.not-rated"))
    d = within("diameter", diameter, 0, 1, "m", open_low=True) / float(INCH)
    r = within("rotation", rotation, 0, 200, "rev/s", open_low=True) * 60 / 1000
    k1, k2, k3, k4 = (float(k) for k in row["K"])
    extra = k2 * r * (1 - 1 / speed_ratio_factor(ratio))
    horsepower = d * r * (k1 - k2 / d - k3 * (d * r) ** 2 - k4 * math.log10(d * r)) + extra
    if horsepower <= 0:
        raise InputError(
            "diameter",
            f"{d:.2f} in",
            Message("belt.no-power-left", rotation=Amount(r * 1000 / 60, "rotation")),
        )
    return Fact(
        horsepower * float(HORSEPOWER), f"{horsepower:.3f} hp", row["source"], row["edition"], row["standing"]
    )


def speed_ratio_factor(ratio: float) -> float:
    """Factor K_SR of the rating equation by speed ratio.

    Parameters
    ----------
    ratio : float
        Faster over slower shaft, 1 to 100. [1]

    Returns
    -------
    float
        1 to 1.1106. [1]

    Raises
    ------
    InputError
        If an element is not a number inside the range above.

    References
    ----------
    .. [1] The steps stand with their source in `ratings.toml`.
    """
    ratio = within("ratio", ratio, 1, 100)
    return next(float(k) for upto, k in ratings()["speed_ratio"]["steps"] if ratio < float(upto) + 0.005)


def arc_factor(wrap: Any) -> Any:
    """Share of the rating left at less than half a turn of wrap, 1.25 (1 - 5^(-theta/pi)).

    Parameters
    ----------
    wrap : array_like
        Angle on the smaller sheave, 0 to 2 pi. [rad]

    Returns
    -------
    ndarray or float
        1 at half a turn. [1]

    Raises
    ------
    InputError
        If an element is not a number inside the range above.

    Notes
    -----
    The printed table and this rule, five to one over half a turn, are one fact.

    References
    ----------
    .. [1] Machinery's Handbook, 31st ed., p. 2581, Table 12.
    """
    theta = within("wrap", wrap, 0, 2 * math.pi, "rad")
    return 1.25 * (1 - 5 ** (-theta / math.pi))


def length_factor(*, section: str, number: int) -> Fact:
    """Factor for the belt's length: a longer belt bends less often.

    Parameters
    ----------
    section : str
        Belt section.
    number : int
        As in its designation.

    Returns
    -------
    Fact
        On a straight line between printed rows. [1]

    Raises
    ------
    InputError
        If no printed rows lie on both sides of the number.
    """
    table = ratings()["length_factor"]
    rows = [(int(n), float(f)) for n, f in table.get(groove_of(section), [])]
    for (n0, f0), (n1, f1) in pairwise(rows):
        if n0 <= number <= n1:
            value = f0 + (f1 - f0) * (number - n0) / (n1 - n0)
            return Fact(
                value, f"{f0} at {n0}, {f1} at {n1}", table["source"], table["edition"], table["standing"]
            )
    raise InputError("belt", f"{section}{number}", Message("belt.no-length-factor"))


def belts_needed(
    *, power: float, service: float, rated: float, arc: float, length: float
) -> tuple[float, int]:
    """Belts a drive needs, N = P Ks / (H Karc Klength), as worked out and rounded up.

    Parameters
    ----------
    power : float
        Power to carry, over 0. [W]
    service : float
        Service factor, at least 1. [1]
    rated : float
        Rating of one belt, over 0. [W]
    arc, length : float
        Its correction factors, over 0. [1]

    Returns
    -------
    (float, int)
        [1]

    Raises
    ------
    InputError
        If an element is not a number inside the range above.

    References
    ----------
    .. [1] Shigley's Mechanical Engineering Design, ch. 17, V-belts (from memory).
    """
    need = within("power", power, 0, 1e7, "W", open_low=True) * within("service factor", service, 1, 5)
    each = within("rated power", rated, 0, 1e6, "W", open_low=True) * arc * length
    exact = float(need / each)
    return exact, math.ceil(exact - 1e-9)


def _row(table: str, section: str, otherwise: Message) -> dict[str, Any]:
    for row in ratings()[table]:
        if row["section"] == section:
            return dict(row)
    raise InputError("section", section, otherwise)
