"""Recordings of real and rendered engines kept outside the project; tests that use them say so when they are absent."""

import os
from pathlib import Path

import pytest

FOLDER = Path(os.environ.get("SNATH_RECORDINGS", Path(__file__).parents[2] / "shared" / "recordings"))


def recording(name: str) -> Path:
    """The path of one recording; the test is skipped where the folder is not there."""
    path = FOLDER / name
    if not path.exists():
        pytest.skip(f"no recording {name}: set SNATH_RECORDINGS to the folder that holds it")
    return path
