"""Print the page of the Python face from its own signatures and docstrings; `print_docs.py` keeps it."""

import inspect

import snath

HEAD = """# In Python

Printed from the names themselves by `python scripts/print_docs.py`; do not edit.

`import snath` brings the names below, and loads what is behind each when it is first used.
[From Python, by examples](from_python.md) shows them at work. Figures are plain attributes in the
unit their name ends in.
"""


def face() -> str:
    """Every public name: how it is called, and what it says of itself."""
    return HEAD + "".join(_told(name) for name in snath.__all__ if not name.startswith("_"))


def _told(name: str) -> str:
    thing = getattr(snath, name)
    called = name if inspect.isclass(thing) else f"{name}{inspect.signature(thing)}"
    own = [
        f"\n.{member}\n    {inspect.getdoc(value) or ''}".rstrip()
        for member, value in sorted(vars(thing).items())
        if inspect.isclass(thing) and not member.startswith("_") and isinstance(value, property)
    ]
    text = "\n".join([inspect.getdoc(thing) or "", *own]).strip()
    return f"\n## snath.{name}\n\n```text\n{_short(called)}\n\n{text}\n```\n"


def _short(called: str) -> str:
    """A signature, an argument a line where it is long."""
    if len(called) <= 100:
        return called
    head, _, rest = called.partition("(")
    inside, _, answer = rest.rpartition(")")
    parts = inside.split(", ")
    return f"{head}(\n    " + ",\n    ".join(parts) + f",\n){answer}"
