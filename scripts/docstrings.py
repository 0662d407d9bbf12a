"""Take a numpydoc docstring apart: its sections, and the entries of one."""

import inspect
from collections.abc import Iterator


def sections(text: str) -> dict[str, list[str]]:
    """Lines of each section by its heading; what stands before the first is under an empty one."""
    found: dict[str, list[str]] = {"": []}
    name, lines = "", inspect.cleandoc(text).splitlines()
    for place, line in enumerate(lines):
        below = lines[place + 1] if place + 1 < len(lines) else ""
        if line and set(below) == {"-"}:
            name = line
            found[name] = []
        elif not (line and set(line) == {"-"}):
            found[name].append(line)
    return found


def entries(lines: list[str]) -> Iterator[tuple[list[str], str, str]]:
    """Names, type and description of each entry of a section."""
    names: list[str] = []
    kind, told = "", []
    for line in lines:
        if line and not line.startswith(" "):
            if names:
                yield names, kind, " ".join(told).strip()
            head, _, kind = line.partition(" : ")
            names, told = [one.strip().lstrip("*") for one in head.split(",")], []
        elif line.strip():
            told.append(line.strip())
    if names:
        yield names, kind, " ".join(told).strip()
