"""Where the house's own text lies, for the tests that read it."""

import ast
import subprocess
from functools import cache
from pathlib import Path

ROOT = Path(__file__).parents[2]
SOURCE = ROOT / "src" / "snath"
CORE = ("quantities", "rules", "formulas", "decisions")  # what gives facts
LEFT_ROOMS = (*CORE, "words")  # what never reaches out


@cache
def tracked() -> tuple[Path, ...]:
    """Every file of the project, without what is built or ignored."""
    listed = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    if listed.returncode == 0:
        files = [ROOT / line for line in listed.stdout.splitlines()]
    else:  # an unpacked archive has no history
        files = [
            path for folder in ("src", "tests", "docs", "examples") for path in (ROOT / folder).rglob("*")
        ]
    return tuple(path for path in files if path.is_file() and "__pycache__" not in path.parts)


def modules(*rooms: str) -> list[Path]:
    """Python files of these rooms; of the whole package without any."""
    chosen = [SOURCE / room for room in rooms] or [SOURCE]
    return sorted(path for folder in chosen for path in folder.rglob("*.py"))


@cache
def tree(path: Path) -> ast.Module:
    """Its syntax tree."""
    return ast.parse(path.read_text("utf-8"))


def short(path: Path) -> str:
    """A path as messages show it."""
    return path.relative_to(ROOT).as_posix()
