"""What a reader is told of a fault, for tests that look at the words as well as at the fault."""

import re
from collections.abc import Iterator
from contextlib import contextmanager

import pytest

from snath.quantities.errors import InputError, InputErrors
from snath.words.render import ENGLISH, Locale, say_fault


def told(fault: InputError | InputErrors, locale: Locale = ENGLISH) -> str:
    """Every fault as a line of its own."""
    return "\n".join(say_fault(one, locale) for one in getattr(fault, "faults", (fault,)))


@contextmanager
def refused(match: str, locale: Locale = ENGLISH) -> Iterator[pytest.ExceptionInfo[InputError]]:
    """Wrong input is refused, and what is told of it matches."""
    with pytest.raises((InputError, InputErrors)) as caught:
        yield caught
    assert re.search(match, told(caught.value, locale)), told(caught.value, locale)
