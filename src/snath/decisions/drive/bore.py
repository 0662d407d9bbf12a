"""Read how a sheave is bored, so that one bore has one form however it is written."""

import re

from snath.quantities.errors import InputError, within
from snath.quantities.message import Message
from snath.quantities.numbers import DecimalMark
from snath.quantities.units import parse


def bore_of(text: str, *, field: str = "bore", decimal_mark: DecimalMark = ".") -> str:
    """A bore in one normal form, so that the same bore written two ways is found the same.

    Parameters
    ----------
    text : str
        Size and shape, "1 in key", "17 mm double-D", "15 tooth spline"; a size alone is round.

    Returns
    -------
    str
        "25.40 mm key", "15 tooth spline"; empty stays empty.

    Raises
    ------
    InputError
        If it is none of these.
    """
    allowed = Message("stock.bore")
    plain = " ".join(text.split())
    if not plain:
        return ""
    match = re.fullmatch(r"(.+?)(?: (round|key|keyed|double-d|spline))?", plain, re.IGNORECASE)
    assert match is not None
    shape = {"keyed": "key", "double-d": "double-D"}.get(
        (match.group(2) or "round").lower(), (match.group(2) or "round").lower()
    )
    if shape == "spline":
        teeth = re.fullmatch(r"(\d{1,2}) ?(?:tooth|teeth|t)", match.group(1), re.IGNORECASE)
        if teeth is None:
            raise InputError(field, text, allowed)
        return f"{int(teeth.group(1))} tooth spline"
    try:
        size = parse(match.group(1), dimension="length", field=field, decimal_mark=decimal_mark).value
    except InputError:
        raise InputError(field, text, allowed) from None
    within(field, size, 0.003, 0.2, "m")
    return f"{size * 1000:.2f} mm {shape}"
