"""Read a day as a table has it, and count on by months."""

import re
from datetime import date

from snath.quantities.errors import InputError
from snath.quantities.message import Message

DAY = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})(?:[ T].*)?")
GERMAN_DAY = re.compile(r"([0-9]{1,2})\.([0-9]{1,2})\.([0-9]{4})")


def day_of(text: str, field: str) -> str:
    """A day as ISO writes it.

    Raises
    ------
    InputError
        Where it is none, or written in an order that could be read two ways.
    """
    if match := DAY.fullmatch(text.strip()):
        year, month, day = match.groups()
    elif match := GERMAN_DAY.fullmatch(text.strip()):
        day, month, year = match.groups()
    else:
        raise InputError(field, text, Message("fleet.date"))
    try:
        return date(int(year), int(month), int(day)).isoformat()
    except ValueError:
        raise InputError(field, text, Message("fleet.date")) from None


def after_months(day: str, months: int) -> str:
    """The same day so many months later, or the last of a shorter month."""
    began = date.fromisoformat(day)
    year, month = divmod(began.month - 1 + months, 12)
    for last in (began.day, 30, 29, 28):
        try:
            return began.replace(year=began.year + year, month=month + 1, day=last).isoformat()
        except ValueError:
            continue
    raise AssertionError("every month has 28 days")
