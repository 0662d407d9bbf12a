"""Print every name of the Python face from its own signature and docstring, below the examples of its page."""

import inspect
import re
from collections.abc import Iterable
from pathlib import Path
from typing import Any, get_args, get_type_hints

from scripts.docstrings import entries, sections

import snath

PAGE = Path(__file__).parents[1] / "docs" / "python.md"
BEGINS = "\n## Every name\n"
SAID = """
Printed from the names themselves by `python scripts/print_docs.py`; do not edit what stands below. Every answer holds
plain attributes, in the unit their name ends in.

| ask | what for |
| --- | --- |
"""
ORDER = ("limit", "read_sheet", "window", "judge", "read", "drive", "work", "fleet", "rule_book")
PARTS_IN = ("snath.shop.answers", "snath.rules.book")
PARTS = """
### What is in an answer

Attributes of an answer that are no plain figures or words hold these.
"""


def face() -> str:
    """The page: what was written by hand, then every public name, what it gives, and what is in that."""
    functions = sorted((n for n in snath.__all__ if n.islower() and n[0] != "_"), key=ORDER.index)
    classes = [getattr(snath, name) for name in snath.__all__ if not name.islower()]
    return "".join(
        (
            PAGE.read_text("utf-8").partition(BEGINS)[0],
            BEGINS,
            SAID,
            *(f"| [`{n}`](#snath{n}) | {_opening(getattr(snath, n))} |\n" for n in functions),
            *(_function(name) for name in functions),
            *(f"\n### snath.{one.__name__}\n\n{_class(one)}" for one in classes),
            PARTS,
            *(f"\n#### {one.__name__}\n\n{_class(one)}" for one in parts(classes)),
        )
    )


def _opening(thing: Any) -> str:
    return " ".join(sections(inspect.getdoc(thing) or "")[""]).strip()


def _function(name: str) -> str:
    function = getattr(snath, name)
    told = sections(inspect.getdoc(function) or "")
    [(given, _, gives)] = entries(told["Returns"])
    [(_, _, refuses)] = entries(told["Raises"])
    return (
        f"\n### snath.{name}\n\n{_opening(function)}\n\n```text\n{_called(name, function)}\n```\n\n"
        f"{_table('argument', told['Parameters'])}\n"
        f"**Returns** `{given[0]}`{': ' + gives if gives else '.'}\n\n"
        f"**Raises** `InputError`: {refuses}\n{_beside(told)}{_sources(told)}{_example(told)}"
    )


def _called(name: str, function: Any) -> str:
    """The call with what each argument is where it is left out; a line each where they are many."""
    parts, starred = [], False
    for one in inspect.signature(function).parameters.values():
        if one.kind is one.KEYWORD_ONLY and not starred:
            parts.append("*")
            starred = True
        parts.append(one.name if one.default is one.empty else f"{one.name}={one.default!r}")
    line = f"snath.{name}({', '.join(parts)})"
    return line if len(line) <= 80 else f"snath.{name}(\n    " + ",\n    ".join(parts) + ",\n)"


def _class(one: type) -> str:
    rows = attributes(one)
    table = _table("attribute", rows) if rows else ""
    parts = (_opening(one), table, _members(one), _example(sections(inspect.getdoc(one) or "")))
    return "\n".join(f"{part.strip()}\n" for part in parts if part)


def attributes(one: type) -> list[str]:
    """What a class and those it stands on say of their attributes, the deepest first; said twice, it counts once."""
    told = dict.fromkeys(base.__doc__ or "" for base in reversed(one.__mro__) if _ours(base))
    return [line for text in told for line in sections(text).get("Attributes", [])]


def _ours(one: type) -> bool:
    return one.__module__.startswith("snath.")


def _members(one: type) -> str:
    """What an answer can be asked besides: a line for each property and method that says what it gives."""
    found: dict[str, str] = {}
    for base in filter(_ours, one.__mro__):
        for name, value in vars(base).items():
            given = isinstance(value, property)
            if (given or inspect.isfunction(value)) and not name.startswith("_") and name not in found:
                found[name] = f"- `.{name}{'' if given else '()'}`: {_opening(value)}"
    return "\n".join(found[name] for name in sorted(found))


def parts(classes: Iterable[type]) -> list[type]:
    """Classes of ours that stand in these, however deep, in the order of the alphabet."""
    found: dict[str, type] = {}
    waiting = [hint for one in classes for hint in _hints(one)]
    while waiting:
        hint = waiting.pop()
        waiting += get_args(hint)
        if inspect.isclass(hint) and hint.__module__.startswith(PARTS_IN) and hint.__name__ not in found:
            found[hint.__name__] = hint
            waiting += _hints(hint)
    return [found[name] for name in sorted(found)]


def _hints(one: type) -> list[Any]:
    """What its fields are, and what it is a collection of."""
    hints = [hint for name, hint in get_type_hints(one).items() if not name.startswith("_")]
    return hints + [part for base in getattr(one, "__orig_bases__", ()) for part in get_args(base)]


def _table(head: str, lines: list[str]) -> str:
    rows = [
        f"| {', '.join(f'`{name}`' for name in names)} {_cell(kind)} | {_cell(told)} |"
        for names, kind, told in entries(lines)
    ]
    return f"| {head} | what it is |\n| --- | --- |\n" + "\n".join(rows) + "\n"


def _cell(text: str) -> str:
    return re.sub(r"docs/(\w+)\.md", r"[\1](\1.md)", text.replace("|", r"\|"))


def _beside(told: dict[str, list[str]]) -> str:
    rows = [f"[`{name}`](#snath{name}): {why}" for [name], why, _ in entries(told.get("See Also", []))]
    return f"\n**See also** {' '.join(rows)}\n" if rows else ""


def _sources(told: dict[str, list[str]]) -> str:
    rows = " ".join(line.strip() for line in told.get("References", []))
    return f"\n**Source** {_cell(rows).strip()}\n" if rows else ""


def _example(told: dict[str, list[str]]) -> str:
    lines = "\n".join(told.get("Examples", [])).strip()
    return f"\n```pycon\n{lines}\n```\n" if lines else ""
