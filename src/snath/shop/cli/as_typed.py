"""Faults of the core under the names of the options they were typed as."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager

from snath.quantities.errors import InputError


@contextmanager
def as_typed(options: Mapping[str, str]) -> Iterator[None]:
    """A fault of one of these fields leaves under its option's name."""
    try:
        yield
    except InputError as fault:
        if fault.field not in options:
            raise
        raise InputError(options[fault.field], fault.given, fault.allowed) from None
