"""Print the rule book as a page."""

from collections.abc import Mapping
from types import MappingProxyType

from snath.quantities.units import show
from snath.rules.book import Rule, Scope
from snath.rules.scope import SIZES

_UNIT: Mapping[str, str] = MappingProxyType({"length": "in", "mass": "lb", "power": "hp"})

HEAD = """# The rule book

Printed from the program's own data (`src/snath/rules/rules.toml`) by `python scripts/print_docs.py`; do not edit.

**Standing** says how far a row is known, and is printed wherever the row is used. It changes words, never a verdict:

| standing | meaning |
|---|---|
| read | the text itself was seen, often a public copy or an extract, not always the standard that is sold |
| second-hand | somebody who had read it was read |
| memory | nobody here has seen the text: look it up before quoting it to anybody |
| trade | common practice, no source; explains, never binds |
| shop | a row of this shop's own file, added or put in place of a shipped one |

A row **binds** when it is in force and more than an explanation. Where the market is not known, every market's rows
count and the strictest binds; the answer says which it was. A row for a class ("80 m/s", "G2") holds only for a part
so marked. A year of make leaves a row out only where all of it lies outside.
A shop adds or overrides rows in a file of its own, see [the machine sheet](sheet.md#a-shops-own-rules).
"""


def page(rules: tuple[Rule, ...]) -> str:
    """The book as Markdown, one section a row, grouped by what is limited."""
    parts = [HEAD]
    for kind in dict.fromkeys(rule.kind for rule in rules):
        parts.append(f"\n## {kind[0].upper()}{kind[1:]}\n")
        parts += [section(rule) for rule in rules if rule.kind == kind]
    return "".join(parts)


def section(rule: Rule) -> str:
    """One row."""
    lines = [
        f"\n### {rule.id}\n",
        f"{rule.limits[0].upper()}{rule.limits[1:]}: **{rule.printed}**.",
        f"{binding(rule)} Standing: {rule.standing}.\n",
        f"- Holds for: {scope_words(rule.scope)}",
        f"- Source: {rule.source} ({rule.edition})",
    ]
    if rule.overrides:
        lines.append(f"- In place of: {rule.overrides}")
    if rule.note:
        lines.append(f"- {rule.note}")
    return "\n".join(lines) + "\n"


def binding(rule: Rule) -> str:
    """Whether and against which speed it binds."""
    if not rule.in_force:
        return "No longer in force: explains, never gives a pass."
    if rule.explains:
        return "Explains, never binds."
    return f"Binds the {rule.applies_to} speed." if "speed" in rule.kind else "Binds."


def scope_words(scope: Scope) -> str:
    """Where it applies, in a line."""
    words = [
        ", ".join(scope.machines),
        ", ".join(scope.members),
        f"designed for {' or '.join(scope.products)} use" if scope.products else "",
        f"used {' or '.join(scope.uses)}" if scope.uses else "",
        f"market {', '.join(scope.markets)}" if scope.markets else "",
        f"made from {scope.made_from}" if scope.made_from else "",
        f"made to {scope.made_to}" if scope.made_to else "",
        f"marked {', '.join(scope.classes)}" if scope.classes else "",
        f"{_sizes(scope.sizes_from)} or more" if scope.sizes_from else "",
        f"not with {_sizes(scope.unless)} or more, all together" if scope.unless else "",
    ]
    return "; ".join(word for word in words if word) or "everything"


def _sizes(sizes: tuple[tuple[str, float], ...]) -> str:
    """Sizes of a machine, in the units American rules are written in."""
    return ", ".join(
        f"{name.replace('_', ' ')} {show(value, _UNIT[SIZES[name]], digits=0)}" for name, value in sizes
    )
