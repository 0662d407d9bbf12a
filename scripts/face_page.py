"""Print every name of the Python face from its own signature and docstring, below the examples of its page."""

import inspect
from pathlib import Path

import snath

PAGE = Path(__file__).parents[1] / "docs" / "python.md"
BEGINS = "\n## Every name\n"
SAID = (
    "\nPrinted from the names themselves by `python scripts/print_docs.py`; do not edit what stands below.\n"
)
WIDE = 100


def face() -> str:
    """The page: what was written by hand, then every public name, how it is called, and what it says of itself."""
    by_hand = PAGE.read_text("utf-8").partition(BEGINS)[0]
    names = (_told(name) for name in snath.__all__ if not name.startswith("_"))
    return by_hand + BEGINS + SAID + "".join(names)


def _told(name: str) -> str:
    thing = getattr(snath, name)
    called = name if inspect.isclass(thing) else _called(name, inspect.signature(thing))
    own = [
        f"\n.{member}\n    {inspect.getdoc(getattr(thing, member)) or ''}".rstrip()
        for member in dir(thing)
        if inspect.isclass(thing) and not member.startswith("_") and _is_own(thing, member)
    ]
    text = "\n".join([inspect.getdoc(thing) or "", *own]).strip()
    return f"\n### snath.{name}\n\n```text\n{called}\n\n{text}\n```\n"


def _is_own(thing: type, member: str) -> bool:
    """Whether a member is one we say something of: a property, or how an answer becomes data."""
    return isinstance(inspect.getattr_static(thing, member), property) or member in ("to_dict", "to_pandas")


def _called(name: str, signature: inspect.Signature) -> str:
    """How it is called, an argument a line where that is long."""
    if len(short := f"{name}{signature}") <= WIDE:
        return short
    parts, keyword = [], False
    for one in signature.parameters.values():
        if one.kind is one.KEYWORD_ONLY and not keyword:
            parts, keyword = [*parts, "*"], True
        parts.append(str(one))
    answer = inspect.formatannotation(signature.return_annotation)
    return f"{name}(\n    " + ",\n    ".join(parts) + f",\n) -> {answer}"
