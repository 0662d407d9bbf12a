"""Django for the tests of the shop: its own data folder, set before anything asks for settings."""

import os
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

os.environ["SNATH_DATA"] = tempfile.mkdtemp(prefix="snath-tests-")
os.environ["DJANGO_SETTINGS_MODULE"] = "snath.shop.site.settings"

import django

django.setup()

ROOT = Path(__file__).parents[2]
POSTGRES = ROOT / "scripts" / "postgres.sh"


@pytest.fixture(autouse=True, scope="session")
def _data_folder() -> Iterator[None]:
    yield
    shutil.rmtree(os.environ["SNATH_DATA"], ignore_errors=True)


@pytest.fixture(autouse=True)
def attachments(tmp_path: Path, settings) -> Path:
    """Where this one test keeps its photos and recordings."""
    settings.MEDIA_ROOT = tmp_path / "attachments"
    settings.MEDIA_ROOT.mkdir()
    return settings.MEDIA_ROOT


@pytest.fixture(scope="session")
def postgres_server() -> Iterator[Path]:
    """Folder of a PostgreSQL server of our own; where PostgreSQL is missing this fails, it never skips."""
    folder = Path(tempfile.mkdtemp(prefix="snath-pg-", dir="/tmp"))  # socket paths must be short
    try:
        done = subprocess.run(
            ["sh", POSTGRES, "start", folder, "quick"], capture_output=True, text=True, check=False
        )
        assert done.returncode == 0, f"PostgreSQL must be installed and start: {done.stderr}"
        yield folder
    finally:
        subprocess.run(["sh", POSTGRES, "stop", folder], check=False)


@pytest.fixture
def postgresql(postgres_server: Path, request) -> str:
    """Address of a new, empty PostgreSQL database."""
    import psycopg

    name = f"test_{abs(hash(request.node.nodeid)) % 10**12}"
    with psycopg.connect(
        host=str(postgres_server), user="postgres", dbname="postgres", autocommit=True
    ) as base:
        base.execute(f"DROP DATABASE IF EXISTS {name}")
        base.execute(f"CREATE DATABASE {name}")
    return f"postgresql://postgres@/{name}?host={postgres_server}"


@pytest.fixture(autouse=True)
def _units_forgotten() -> Iterator[None]:
    """A test's shop is gone with it, and what was remembered of its units."""
    from snath.shop.records.store import shop_units

    shop_units.cache_clear()
    yield
    shop_units.cache_clear()
