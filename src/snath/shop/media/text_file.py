"""The text of a file that somebody named, or why there is none."""

from pathlib import Path

from snath.quantities.errors import InputError
from snath.quantities.message import Message

MOST_TEXT = 1_000_000  # characters of a sheet, job or track file; more is not one


def read_text(path: str, field: str) -> str:
    """The text of a file the user named.

    Raises
    ------
    InputError
        If it is not there, not readable as text, or far larger than such a file can be.
    """
    try:
        size = Path(path).stat().st_size
        if size > MOST_TEXT:
            raise InputError(field, path, Message("media.file-of-at-most", most=MOST_TEXT))
        return Path(path).read_text("utf-8")
    except FileNotFoundError:
        raise InputError(field, path, Message("media.file-exists")) from None
    except IsADirectoryError:
        raise InputError(field, path, Message("media.file-no-folder")) from None
    except PermissionError:
        raise InputError(field, path, Message("media.file-may-read")) from None
    except UnicodeDecodeError:
        raise InputError(field, path, Message("media.file-utf-8")) from None
    except (OSError, ValueError):
        raise InputError(field, path, Message("media.file-name")) from None
