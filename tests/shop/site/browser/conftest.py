"""Debian's own browser, started as the bench's tests start it."""

from pathlib import Path

import pytest

from tests.shop.bench.browser.conftest import ARGUMENTS, CHROMIUM


@pytest.fixture(scope="session")
def browser_type_launch_args() -> dict[str, object]:
    assert Path(CHROMIUM).exists(), "Chromium is missing: apt-get install chromium"
    return {"executable_path": CHROMIUM, "args": ARGUMENTS, "headless": True}
