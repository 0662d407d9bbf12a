"""Take a file as its name or as its text."""

import os
from pathlib import Path

from snath.face.faults import text_of
from snath.shop.media.text_file import read_text

File = str | os.PathLike[str]


def text_in(field: str, given: File) -> str:
    """The text itself, or that of the file it names: what has several lines or an entry is no name of a file."""
    if isinstance(given, os.PathLike):
        return read_text(text_of(field, os.fspath(given)), field)
    text = text_of(field, given)
    if "\n" in text or ("=" in text and not Path(text).exists()):
        return text
    return read_text(text, field)


def name_of(field: str, given: File) -> str:
    """The name of a file, as text."""
    return text_of(field, os.fspath(given) if isinstance(given, os.PathLike) else given)
