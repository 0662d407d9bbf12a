"""Hold every sentence by its code, one folder a language, one file a subject."""

import tomllib
from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any

from snath.quantities.shipped import shipped_text

LANGUAGES = ("en", "de")


def entry(code: str, language: str) -> str | None:
    """The sentence of a code "file.key"; None where the tables have none."""
    return table(language, code.partition(".")[0]).get(code)


@cache
def table(language: str, name: str) -> Mapping[str, str]:
    """All sentences of one file in one language, by code; empty where there is no such file."""
    return dict(_flat(_read(language, name), f"{name}."))


@cache
def shown(name: str, language: str) -> Mapping[str, str]:
    """What pictures and paper say round their figures, by dotted key; the figures come put into words already."""
    return dict(_flat(_read(language, f"shown/{name}"), ""))


@cache
def texts(language: str) -> Mapping[str, str]:
    """What data rows say in English, such as those of the rule book, in another language: each text by itself."""
    return _read(language, "texts/rules")


def _read(language: str, name: str) -> dict[str, Any]:
    try:
        return tomllib.loads(shipped_text("snath.words", f"{language}/{name}.toml"))
    except FileNotFoundError:
        return {}


def _flat(node: Mapping[str, Any], before: str) -> Iterator[tuple[str, str]]:
    for key, value in node.items():
        if isinstance(value, str):
            yield before + key, value
        else:
            yield from _flat(value, f"{before}{key}.")
