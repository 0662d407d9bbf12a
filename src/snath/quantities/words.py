"""Refuse a word that is none of those known, naming the one that was likely meant."""

import difflib
from collections.abc import Sequence

from snath.quantities.message import Message

ECHOED = 60  # characters of an entry that are compared


def one_of_words(known: Sequence[str], given: object, *, cutoff: float = 0.6) -> Message:
    """What would do in place of `given`, with the nearest of the words where one is near."""
    typed = given[:ECHOED] if isinstance(given, str) else ""
    close = difflib.get_close_matches(typed, known, n=1, cutoff=cutoff)
    if close:
        return Message("fault.one-of-nearest", known=tuple(known), nearest=close[0])
    return Message("fault.one-of", known=tuple(known))


def unknown_key(key: str, known: Sequence[str]) -> Message:
    """What would do in place of an unknown key."""
    close = difflib.get_close_matches(key, known, n=1)
    if close:
        return Message("fault.unknown-key-near", nearest=close[0])
    return Message("fault.unknown-key", known=tuple(known))
