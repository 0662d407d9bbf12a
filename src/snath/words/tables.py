"""Hold every sentence by its code, one folder a language, one file a subject."""

import tomllib
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any

LANGUAGES = ("en", "de")
HERE = Path(__file__).parent


def entry(code: str, language: str) -> str | None:
    """The sentence of a code "file.key"; None where the tables have none."""
    return table(language, code.partition(".")[0]).get(code)


@cache
def table(language: str, name: str) -> Mapping[str, str]:
    """All sentences of one file in one language, by code; empty where there is no such file."""
    path = HERE / language / f"{name}.toml"
    return dict(_flat(tomllib.loads(path.read_text("utf-8")), f"{name}.")) if path.is_file() else {}


@cache
def shown(name: str, language: str) -> Mapping[str, str]:
    """What pictures and paper say round their figures, by dotted key; the figures come put into words already."""
    path = HERE / language / "shown" / f"{name}.toml"
    return dict(_flat(tomllib.loads(path.read_text("utf-8")), "")) if path.is_file() else {}


@cache
def texts(language: str) -> Mapping[str, str]:
    """What data rows say in English, such as those of the rule book, in another language: each text by itself."""
    folder = HERE / language / "texts"
    found: dict[str, str] = {}
    for path in folder.iterdir() if folder.is_dir() else ():
        found |= tomllib.loads(path.read_text("utf-8"))
    return found


def _flat(node: Mapping[str, Any], before: str) -> Iterator[tuple[str, str]]:
    for key, value in node.items():
        if isinstance(value, str):
            yield before + key, value
        else:
            yield from _flat(value, f"{before}{key}.")
