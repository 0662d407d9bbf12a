"""What README and the manual show: their fenced examples, in order."""

import re
from dataclasses import dataclass
from pathlib import Path

from tests.house.sources import ROOT

DOCS = ROOT / "docs"
FENCE = re.compile(r"^```(\w+)\n(.*?)^```$", re.DOTALL | re.MULTILINE)
PAGES = [ROOT / "README.md", ROOT / "CONTRIBUTING.md", ROOT / "SECURITY.md", *sorted(DOCS.rglob("*.md"))]


@dataclass(frozen=True)
class Example:
    """One command of a page, and what the page says that it answers."""

    page: str
    command: str
    shown: tuple[str, ...]

    def __str__(self) -> str:
        return f"{self.page}: {self.command}"


def fenced(kind: str) -> list[tuple[str, str]]:
    """Page and text of every block of that kind."""
    return [
        (path.relative_to(ROOT).as_posix(), text)
        for path in PAGES
        for found, text in FENCE.findall(path.read_text("utf-8"))
        if found == kind
    ]


def examples() -> list[Example]:
    """Every command shown with its answer."""
    found = []
    for page, text in fenced("console"):
        for part in re.split(r"^\$ ", text, flags=re.MULTILINE)[1:]:
            command, *shown = part.rstrip("\n").split("\n")
            found.append(Example(page, command, tuple(shown)))
    return found


def commands() -> list[tuple[str, str]]:
    """Every command shown without its answer, because it needs what only a shop has; comments cut off."""
    return [
        (page, line.partition(" #")[0].strip())
        for page, text in fenced("sh")
        for line in text.splitlines()
        if line.startswith("snath ")
    ]


def files(page: Path) -> list[str]:
    """What a page links to and shows, without addresses elsewhere and places within itself."""
    text = page.read_text("utf-8")
    linked = re.findall(r"\]\((?!https?:|#|mailto:)([^)#\s]+)", text)
    return [*linked, *re.findall(r'src="([^"]+)"', text), *re.findall(r"\{image\} (\S+)", text)]
