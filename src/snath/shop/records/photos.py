"""Is this upload a photo, and what is left of it when everything but the picture is taken away?

The bytes are opened in a process of its own with little memory, little time and no other files: a
picture made to break the decoder breaks that process and nothing else.
"""

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
    try:
        child = subprocess.run(
            [sys.executable, "-I", "-m", "snath.shop.records.photo_child"],
            input=data,
            capture_output=True,
            timeout=SECONDS,
            check=False,
            env={name: os.environ[name] for name in ("SYSTEMROOT",) if name in os.environ},
        )
    except subprocess.TimeoutExpired:
        raise InputError("photo", "a picture that takes too long to open", ACCEPTED) from None
    if child.returncode or not child.stdout.startswith(b"\xff\xd8"):
        raise InputError("photo", f"a file of {len(data)} bytes that is none", ACCEPTED)
    return child.stdout
