"""Does everything the program reads travel in its wheel?"""

import tomllib
from fnmatch import fnmatch
from pathlib import Path

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "src" / "snath"
NOT_SHIPPED = {".pyc"}


def test_every_data_file_is_named_as_package_data():
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
    patterns = settings["tool"]["setuptools"]["package-data"]["snath"]
    left_out = [
        path.relative_to(PACKAGE).as_posix()
        for path in PACKAGE.rglob("*")
        if path.is_file() and path.suffix not in {".py", *NOT_SHIPPED} and "__pycache__" not in path.parts
        if not any(fnmatch(path.name, pattern.rsplit("/", 1)[-1]) for pattern in patterns)
    ]
    assert left_out == []


def test_every_folder_with_code_is_a_package():
    bare = {path.parent for path in PACKAGE.rglob("*.py")} - {
        path.parent for path in PACKAGE.rglob("__init__.py")
    }
    assert bare == set()
