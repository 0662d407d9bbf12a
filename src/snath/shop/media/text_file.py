"""The text of a file that somebody named, or why there is none."""

from pathlib import Path

from snath.quantities.errors import InputError

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
            raise InputError(field, path, f"must be a file of at most {MOST_TEXT} bytes")
        return Path(path).read_text("utf-8")
    except FileNotFoundError:
        raise InputError(field, path, "must be a file that exists") from None
    except IsADirectoryError:
        raise InputError(field, path, "must be a file, not a folder") from None
    except PermissionError:
        raise InputError(field, path, "must be a file this user may read") from None
    except UnicodeDecodeError:
        raise InputError(field, path, "must be a text file in UTF-8") from None
    except (OSError, ValueError):
        raise InputError(field, path, "must be the name of a file that can be read") from None
