"""Keep the catalogues in step with what the pages say; what the core says stands in `snath/words`.

    python scripts/words.py            gather every sentence into the catalogue; untranslated ones stay empty
    python scripts/words.py --compile  write the catalogue the program reads
    python scripts/words.py --check    list what has no translation yet, and fail where there is any

Needs Babel (a development dependency) in place of the GNU tools, so that it runs wherever Python does.
"""

import argparse
import os
import sys
from collections.abc import Iterator
from importlib.metadata import version
from io import BytesIO
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.extract import extract
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po

from snath.words.tables import LANGUAGES

ROOT = Path(__file__).resolve().parents[1]
SOURCE = ROOT / "src" / "snath"
LOCALE = SOURCE / "shop" / "bench" / "locale"
AUTHORS = "The authors of Snath"
HEADER = """# Translations for Snath.
# Copyright (C) 2026 the authors of Snath
# This file is distributed under the licence of Snath, MIT."""
TRANSLATED = tuple(language for language in LANGUAGES if language != "en")
KEYWORDS = {
    **dict.fromkeys(("_", "gettext", "gettext_lazy", "gettext_noop"), None),
    **dict.fromkeys(("ngettext", "ngettext_lazy"), (1, 2)),
    **dict.fromkeys(("pgettext", "pgettext_lazy"), ((1, "c"), 2)),
    **dict.fromkeys(("npgettext", "npgettext_lazy"), ((1, "c"), 2, 3)),
}
SHOP = ("bench", "site", "records")


def kept(language: str) -> Path:
    """The file of a language's catalogue."""
    return LOCALE / language / "LC_MESSAGES" / "django.po"


def catalogue(language: str = "de") -> Catalog:
    """A catalogue as it stands."""
    if not kept(language).exists():
        return Catalog(locale=language, domain="django", charset="utf-8", fuzzy=False)
    with kept(language).open("rb") as file:
        return read_po(file, locale=language, domain="django")


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


def gathered(language: str = "de") -> Catalog:
    """The catalogue with everything that is said now, translations kept, what is no longer said dropped."""
    old = catalogue(language)
    new = Catalog(
        locale=language,
        domain="django",
        charset="utf-8",
        fuzzy=False,
        project="Snath",
        version=version("snath"),
        header_comment=HEADER,
        last_translator=AUTHORS,
        language_team=AUTHORS,
        msgid_bugs_address="see README",
        creation_date=old.creation_date,  # a date that moves by itself is a conflict in every merge
        revision_date=old.creation_date,
    )
    for message, place, context in sorted(said_by_pages(), key=lambda row: (row[1], str(row[0]))):
        key = message[:2] if isinstance(message, tuple) and len(message) > 1 and message[1] else message
        before = old.get(key, context)
        new.add(key, before.string if before else None, locations=[(place, None)], context=context)
    return new


def untranslated(found: Catalog) -> list[str]:
    """Messages without a translation, or with one that is only guessed."""
    return [
        f"{message.locations[0][0] if message.locations else ''}: {message.id}"
        for message in found
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
    if asked.check:
        missing = [
            f"{language}: {one}" for language in TRANSLATED for one in untranslated(gathered(language))
        ]
        print("\n".join(missing))
        sys.exit(1 if missing else 0)
    for language in TRANSLATED:
        kept(language).parent.mkdir(parents=True, exist_ok=True)
        if asked.compile:
            with kept(language).with_suffix(".mo").open("wb") as file:
                write_mo(file, catalogue(language))
            continue
        new = gathered(language)
        with kept(language).open("wb") as file:
            write_po(file, new, width=0, sort_output=False, omit_header=False, include_lineno=False)


if __name__ == "__main__":
    main()
