"""Check that an upload is a photo, and keep nothing of it but the picture.

The bytes are opened in a process of its own with little memory, little time and no other files: a
picture made to break the decoder breaks that process and nothing else.
"""

import json
import os
import subprocess
import sys

from snath.quantities.errors import InputError

SECONDS = 20
ACCEPTED = "must be a photo as JPEG, PNG or WebP"


def clean_photo(data: bytes) -> bytes:
    """The picture alone as a JPEG: turned upright, at most 2560 pixels, no position, no times, no names.

    Raises
    ------
    InputError
        For anything that is not a photo: SVG, HTML, a recording, a damaged or absurdly large picture.
    """
    cleaned = _by_child(data)
    if not cleaned.startswith(b"\xff\xd8"):
        raise _no_photo(data)
    return cleaned


def squares_on(data: bytes) -> tuple[str, ...]:
    """The texts of the square codes on a photo; none where none can be read.

    Raises
    ------
    InputError
        For anything that is not a photo.
    """
    return tuple(json.loads(_by_child(data, "squares")))


def _by_child(data: bytes, *wanted: str) -> bytes:
    try:
        child = subprocess.run(
            [sys.executable, "-I", "-m", "snath.shop.records.photo_child", *wanted],
            input=data,
            capture_output=True,
            timeout=SECONDS,
            check=False,
            env={name: os.environ[name] for name in ("SYSTEMROOT",) if name in os.environ},
        )
    except subprocess.TimeoutExpired:
        raise InputError("photo", "a picture that takes too long to open", ACCEPTED) from None
    if child.returncode:
        raise _no_photo(data)
    return child.stdout


def _no_photo(data: bytes) -> InputError:
    return InputError("photo", f"a file of {len(data)} bytes that is none", ACCEPTED)
