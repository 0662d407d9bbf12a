"""Report what is wrong with an entry: its field, what was given and what would do."""

import math
from decimal import Decimal
from numbers import Real
from typing import Any

from snath.quantities.message import Message

SHOWN = 60  # characters of a wrong entry that are echoed: enough to recognise, too few to flood a page


class InputError(ValueError):
    """A value the shop can correct: names the field, what was given and what would do.

    Parameters
    ----------
    field : str
        The field as the user knows it.
    given : object
        What was typed, echoed shortened; a message where what was found has to be told.
    allowed : Message or str
        What would be accepted, as the end of the sentence "field = given: ...".
    """

    def __init__(self, field: str, given: object, allowed: Message | str) -> None:
        self.field = field
        self.given: Message | str = given if isinstance(given, Message) else shorten(given)
        self.allowed = allowed
        super().__init__(f"{field} = {_plain(self.given)}: {_plain(allowed)}")

    @property
    def faults(self) -> tuple["InputError", ...]:
        """This one, for whoever tells one fault as he tells several."""
        return (self,)

    def __reduce__(self) -> tuple[Any, ...]:
        return InputError, (self.field, self.given, self.allowed)


class InputErrors(ValueError):
    """Several faults found in one go, so that the user mends them in one go."""

    def __init__(self, faults: tuple[InputError, ...]) -> None:
        self.faults = faults
        super().__init__("\n".join(str(fault) for fault in faults))

    def __reduce__(self) -> tuple[Any, ...]:
        return InputErrors, (self.faults,)


def _plain(thing: Message | str) -> str:
    return thing if isinstance(thing, str) else repr(thing)


def shorten(given: object) -> str:
    """A wrong entry on one printable line of at most `SHOWN` characters."""
    try:
        text = given[: 4 * SHOWN] if isinstance(given, str) else str(given)
    except Exception:  # what cannot say itself, as a whole number of five thousand digits
        text = type(given).__name__
    text = "".join(c if c.isprintable() else "?" for c in text).strip()
    return text if len(text) <= SHOWN else text[: SHOWN - 1] + "…"


def within(
    field: str,
    value: Any,
    low: float,
    high: float,
    unit: str = "",
    *,
    open_low: bool = False,
    open_high: bool = False,
) -> Any:
    """The value as float or float array, refused when any element is not a number in the range.

    Parameters
    ----------
    field : str
        Name used in the message.
    value : array_like
        Checked element by element.
    low, high : float
        The range, in `unit`.
    unit : str
        Unit of value and range, for the message.
    open_low, open_high : bool
        Leave that end itself out.

    Returns
    -------
    float or ndarray
        Same shape as `value`.

    Raises
    ------
    InputError
        Naming the first element outside the range; NaN and infinities always are.
    """
    if type(value) is float and low < value < high and math.isfinite(value):
        return value  # as nearly always: a band asks a hundred thousand times
    number = _number(field, value, unit)
    above = number > low if open_low else number >= low
    below = number < high if open_high else number <= high
    good = above & below & (abs(number) < math.inf)
    alone = isinstance(number, float)
    if not (good if alone else good.all()):
        first = number if alone else number[~good].flat[0]
        raise InputError(field, f"{first:g} {unit}".rstrip(), between(low, high, unit, open_low, open_high))
    return number


def one_within(field: str, value: Any, low: float, high: float, unit: str = "") -> float:
    """One number, whichever library made it, in a range; a truth value, a text and an array are none.

    Raises
    ------
    InputError
        Where it is none, or outside the range.
    """
    if not isinstance(value, Real | Decimal) or isinstance(value, bool):
        raise InputError(field, value, Message("fault.number"))
    return float(within(field, value, low, high, unit))


def _number(field: str, value: Any, unit: str) -> Any:
    """The value as a float, or an array of them; only what is no single number needs the library of arrays."""
    if isinstance(value, int | float):
        try:
            return float(value)
        except OverflowError:  # a whole number of more digits than a float has room for
            return math.inf if value > 0 else -math.inf
    import numpy as np  # here, because loading it takes longer than a first answer

    try:
        array = np.asarray(value, dtype=float)
    except (TypeError, ValueError, OverflowError):
        allowed = Message("fault.number-in", unit=unit) if unit else Message("fault.number")
        raise InputError(field, value, allowed) from None
    return float(array) if array.ndim == 0 else array


def between(
    low: float, high: float, unit: str = "", open_low: bool = False, open_high: bool = False
) -> Message:
    """What lies in a range, whose figures are in `unit`; either end may be left out of it."""
    least = Message("fault.over", n=low) if open_low else Message("fault.at-least", n=low)
    most = Message("fault.under", n=high) if open_high else Message("fault.at-most", n=high)
    if unit:
        return Message("fault.range-in", low=least, high=most, unit=unit)
    return Message("fault.range", low=least, high=most)
