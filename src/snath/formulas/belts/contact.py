"""Give the radius a belt runs at on a pulley: in a groove, with its narrow side on a flat, or on its back.

Every length belongs to one line in the belt, a depth below its top: 0 for an outside length, half the
groove offset for a datum length, the belt's height for an inside length. Measured with the same depth on
every pulley, the route's length and the belt's designation speak of the same line.
"""

from typing import Literal

from snath.quantities.errors import InputError, within
from snath.quantities.message import Message

Contact = Literal["groove", "flat inside", "flat back"]
CONTACTS: tuple[Contact, ...] = ("groove", "flat inside", "flat back")


def line_radius(
    *, contact: Contact, outside: float, depth: float = 0.0, ride: float = 0.0, height: float | None = None
) -> float:
    """Radius at which the belt's line at `depth` runs round a pulley.

    Parameters
    ----------
    contact : str
        "groove", "flat inside" (the narrow side on a flat rim) or "flat back".
    outside : float
        Outside diameter of the pulley, over 0 and at most 5. [m]
    depth : float
        Of the line below the belt's top, 0 to 0.05. [m]
    ride : float
        How far the belt's top stands above the rim of a groove; negative where it has sunk in; -0.05 to
        0.05. [m]
    height : float or None
        Of the belt, 0 to 0.05; needed on a flat inside. [m]

    Returns
    -------
    float
        Over 0. [m]

    Raises
    ------
    InputError
        If the kind of contact is unknown, the height is needed and missing, or nothing is left of the radius.

    References
    ----------
    .. [1] By geometry; which line a length belongs to: docs/belts.md.
    """
    outside = within("outside diameter", outside, 0, 5, "m", open_low=True)
    depth = within("depth", depth, 0, 0.05, "m")
    if contact == "groove":
        radius = outside / 2 + within("ride", ride, -0.05, 0.05, "m") - depth
    elif contact == "flat back":
        radius = outside / 2 + depth
    elif contact == "flat inside":
        if height is None:
            raise InputError("belt height", "nothing", Message("belt.height-needed"))
        radius = outside / 2 + within("belt height", height, 0, 0.05, "m") - depth
    else:
        raise InputError("contact", contact, Message("fault.one-of", known=tuple(CONTACTS)))
    if radius <= 0:
        raise InputError("outside diameter", f"{outside:g} m", Message("belt.no-line", least=2 * depth))
    return float(radius)
