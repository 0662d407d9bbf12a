"""Refuse values some database cannot keep: SQLite takes any length and zero bytes, PostgreSQL does not.

Asked before each save, so that a shop on SQLite never holds a row it could not move, and whoever typed
too much is told at that field.
"""

import math
from typing import Any

from django.db import models

from snath.quantities.errors import InputError
from snath.quantities.message import Message


def refuse_unkeepable(sender: type[models.Model], instance: models.Model, **signal: Any) -> None:
    """Check texts and figures of a record that is about to be saved.

    Raises
    ------
    InputError
        Naming the first field that cannot be kept.
    """
    del signal
    for field in sender._meta.concrete_fields:
        value = getattr(instance, field.attname)
        if isinstance(value, str):
            _check_text(field, value)
        elif isinstance(value, float) and not math.isfinite(value):
            raise InputError(field.name, value, Message("fault.number"))


def _check_text(field: "models.Field[Any, Any]", text: str) -> None:
    longest = getattr(field, "max_length", None)
    if longest is not None and len(text) > longest:
        raise InputError(field.name, text, Message("fault.characters", most=longest))
    if "\x00" in text or (not text.isascii() and _has_surrogate(text)):
        raise InputError(field.name, text, Message("fault.whole-text"))


def _has_surrogate(text: str) -> bool:
    return any("\ud800" <= character <= "\udfff" for character in text)
