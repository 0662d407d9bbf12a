"""Take a file as its name or as its text."""

import os

from snath.face.faults import text_of
from snath.shop.media.text_file import read_text

File = str | os.PathLike[str]


def text_in(field: str, given: File) -> str:
    """The text itself, or that of the file it names: what has several lines or an entry is no name of a file."""
    if isinstance(given, os.PathLike):
        return read_text(text_of(field, os.fspath(given)), field)
    text = text_of(field, given)
    return text if is_text(text) else read_text(text, field)


def is_text(text: str) -> bool:
    """Whether it is what a file holds, and not its name."""
    return "\n" in text or ("=" in text and not os.path.exists(text))  # noqa: PTH110 - False where it is too long


def name_of(field: str, given: File) -> str:
    """The name of a file, as text."""
    return text_of(field, os.fspath(given) if isinstance(given, os.PathLike) else given)
