"""Keep the German catalogue in step with what the pages and the core say.

    python scripts/words.py            gather every sentence into the catalogue; untranslated ones stay empty
    python scripts/words.py --compile  write the catalogue the program reads
    python scripts/words.py --check    list what has no translation yet, and fail where there is any

Needs Babel (a development dependency) in place of the GNU tools, so that it runs wherever Python does.
"""

import argparse
import ast
import json
import os
import re
import sys
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.extract import extract
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po

from snath.rules.kinds import PART_KINDS
from snath.rules.load import shipped_rules

ROOT = Path(__file__).resolve().parents[1]
SOURCE = ROOT / "src" / "snath"
LOCALE = SOURCE / "shop" / "bench" / "locale"
GERMAN = LOCALE / "de" / "LC_MESSAGES" / "django.po"
SENTENCES = LOCALE / "core-sentences.json"
CONTEXT = "core"
KEYWORDS = {
    **dict.fromkeys(("_", "gettext", "gettext_lazy", "gettext_noop"), None),
    **dict.fromkeys(("ngettext", "ngettext_lazy"), (1, 2)),
    **dict.fromkeys(("pgettext", "pgettext_lazy"), ((1, "c"), 2)),
    **dict.fromkeys(("npgettext", "npgettext_lazy"), ((1, "c"), 2, 3)),
}
SHOP = ("bench", "site", "records")
# What of the core can reach a page; belts and balance formulas speak through the decisions that call them.
CORE = (
    *("decisions", "quantities", "rules/load.py", "formulas/belts/sections.py", "formulas/belts/grooves.py"),
    *("formulas/signals/sound.py", "formulas/signals/sound_answer.py", "formulas/signals/aliases.py"),
    *(
        "formulas/signals/live.py",
        "formulas/signals/pulses/read.py",
        "formulas/signals/pulses/seen.py",
        "shop/media",
    ),
    *("formulas/signals/film/read.py", "formulas/signals/film/answer.py"),
    *("formulas/signals/film/left.py", "formulas/signals/film/shutter.py"),
    "formulas/signals/film/budget.py",
)
NOT_SHOWN = (
    "decisions/drive/laid.py",
    "decisions/job/causes.py",
    "quantities/message.py",
    "shop/media/begun.py",
)
SENTENCE = re.compile(r"[A-Za-z]{3,}")
NAMED_HOLE = re.compile(r"\{[a-z_]+\}")
ALIASES = "quantities/unit_table.py"  # beside its examples it holds how units are spelt
# Single words the core hands to pages: where, what, how and under which condition.
TERMS = (
    *("at most {}", "at least {}", "engine governed to {}", "ratio to {}: {}", "{} of {}: {} outside"),
    *("{} of {}: {} teeth", "driver sheave", "driven sheave", "driver gear", "driven gear"),
    *(
        "driver sprocket",
        "driven sprocket",
        "as it is",
        "÷ {} ({}) = {}",
        "scatter of {} readings",
        "scatter of {} runs",
        "must be a whole number",
    ),
    *("crankshaft", "engine", "blade", "wheel", "disc", "alternator", "pump", "other", "spindle"),
    *("cutting", "peak", "typed", "sound", "pulses", "light", "stroboscope", "inductive", "fused"),
    *("direct", "belt", "gear", "chain", "counted", "variable", "nothing", "none", "consumer", "commercial"),
    *(
        "generator",
        "tiller",
        "chipper",
        "listening",
        "accuracy",
        "resolution",
        "cylinders",
        "strokes",
        "electrical",
        "shaft",
        "firing",
    ),
)


def catalogue() -> Catalog:
    """The German catalogue as it stands."""
    if not GERMAN.exists():
        return Catalog(locale="de", domain="django", charset="utf-8", fuzzy=False)
    with GERMAN.open("rb") as file:
        return read_po(file, locale="de", domain="django")


def said_by_pages() -> Iterator[tuple[object, str, str | None]]:
    """Message, where it is, and its context, for every marked text of the shop."""
    for folder in SHOP:
        for path in sorted((SOURCE / "shop" / folder).rglob("*")):
            if path.suffix == ".py" and "migrations" not in path.parts:
                yield from _marked(path, path.read_bytes())
            elif path.suffix in (".html", ".txt") and "templates" in path.parts:
                yield from _marked(path, _as_python(path.read_text("utf-8")))


def _marked(path: Path, source: bytes) -> Iterator[tuple[object, str, str | None]]:
    for _, message, _, context in extract("python", BytesIO(source), keywords=KEYWORDS):
        yield message, str(path.relative_to(SOURCE)), context


def _as_python(template: str) -> bytes:
    from django.utils.translation.template import templatize

    lines = templatize(template).splitlines()
    return "\n".join(line.strip() for line in lines).encode()


def said_by_core() -> dict[str, str]:
    """Every sentence of the core with a hole for each figure, and where it is first said."""
    found: dict[str, str] = {}
    for place in CORE:
        start = SOURCE / place
        for path in sorted(start.rglob("*.py")) if start.is_dir() else [start]:
            short = str(path.relative_to(SOURCE))
            if not short.startswith(NOT_SHOWN):
                for sentence in _sentences(ast.parse(path.read_text("utf-8"))):
                    if short != ALIASES or " unit, " in sentence:
                        found.setdefault(sentence, short)
    for rule in shipped_rules():
        scope = rule.scope
        words = (*scope.machines, *scope.members, *scope.uses)
        for sentence in (rule.limits, rule.note, rule.edition, *words):
            if SENTENCE.search(sentence):
                found.setdefault(sentence, "rules/rules.toml")
    for kind in PART_KINDS:
        found.setdefault(kind.label, "rules/kinds.py")
    return found | {term: "terms" for term in TERMS if term not in found}


def _sentences(tree: ast.Module) -> Iterator[str]:
    silent = {id(inner) for node in ast.walk(tree) for inner in _not_said(node)}
    for node in ast.walk(tree):
        text = _with_holes(node) if id(node) not in silent else None
        if (
            text
            and " " in text.strip()
            and SENTENCE.search(text.replace("{}", ""))
            and "\\" not in text
            and "(?:" not in text
            and "Queue[" not in text
            and "import " not in text
        ):
            yield text


def _not_said(node: ast.AST) -> Iterator[ast.AST]:
    """Docstrings, and the pieces of a text that is taken as a whole."""
    if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef) and ast.get_docstring(node) is not None:
        first = node.body[0]
        assert isinstance(first, ast.Expr)
        yield first.value
    if isinstance(node, ast.JoinedStr):
        yield from (
            inner for inner in ast.walk(node) if inner is not node and isinstance(inner, ast.Constant)
        )


def _with_holes(node: ast.AST) -> str | None:
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return NAMED_HOLE.sub("{}", node.value)
    if isinstance(node, ast.JoinedStr):
        return "".join(str(v.value) if isinstance(v, ast.Constant) else "{}" for v in node.values)
    return None


def listed() -> list[str]:
    """The sentences of the core that the program knows of."""
    known: list[str] = json.loads(SENTENCES.read_text("utf-8"))
    return known


def gathered() -> Catalog:
    """The catalogue with everything that is said now, translations kept, what is no longer said dropped."""
    old, new = (
        catalogue(),
        Catalog(locale="de", domain="django", charset="utf-8", fuzzy=False, project="Snath"),
    )
    core = said_by_core()
    rows = [*said_by_pages(), *((sentence, place, CONTEXT) for sentence, place in core.items())]
    for message, place, context in sorted(rows, key=lambda row: (row[1], str(row[0]))):
        key = message[:2] if isinstance(message, tuple) and len(message) > 1 and message[1] else message
        before = old.get(key, context)
        new.add(key, before.string if before else None, locations=[(place, None)], context=context)
    return new


def untranslated(german: Catalog) -> list[str]:
    """Messages without a translation, or with one that is only guessed."""
    return [
        f"{message.locations[0][0] if message.locations else ''}: {message.id}"
        for message in german
        if message.id and (message.fuzzy or not message.string or not all(_strings(message.string)))
    ]


def _strings(translation: object) -> tuple[object, ...]:
    return translation if isinstance(translation, tuple) else (translation,)


def main() -> None:
    """Gather, compile or check."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "snath.shop.site.settings")
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--compile", action="store_true")
    parser.add_argument("--check", action="store_true")
    asked = parser.parse_args()
    if asked.compile:
        with GERMAN.with_suffix(".mo").open("wb") as file:
            write_mo(file, catalogue())
        return
    german = gathered()
    if asked.check:
        missing = untranslated(german)
        print("\n".join(missing))
        sys.exit(1 if missing else 0)
    SENTENCES.write_text(json.dumps(sorted(said_by_core()), ensure_ascii=False, indent=0) + "\n", "utf-8")
    with GERMAN.open("wb") as file:
        write_po(file, german, width=0, sort_output=False, omit_header=False, include_lineno=False)


if __name__ == "__main__":
    main()
