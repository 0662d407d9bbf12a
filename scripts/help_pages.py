"""Print the mechanic's part of the manual as pieces of the bench's own pages; `print_docs.py` keeps them."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

from markdown_it import MarkdownIt
from markdown_it.token import Token

from snath.shop.bench.help.pages import CONTENTS, PAGES

ROOT = Path(__file__).parents[1]
DOCS = ROOT / "docs"
BENCH = "../src/snath/shop/bench/templates/bench/help"  # beside docs/
HEADINGS = {"en": "Help", "de": "Hilfe"}


def source(language: str, page: str) -> Path:
    """Where a page is written."""
    if language != "en":
        return DOCS / language / f"{page}.md"
    return DOCS / ("first_hour" if page == "mechanic" else "tasks") / f"{page}.md"


def printed(language: str, page: str) -> str:
    """A page as HTML; links to other pages of the bench's help lead there, links elsewhere are words."""
    reader = MarkdownIt("commonmark").enable("table")
    tokens = reader.parse(source(language, page).read_text("utf-8"))
    for token in tokens:
        if token.children:
            token.children = list(_linked(token.children))
    html: str = reader.renderer.render(tokens, reader.options, {})
    return html


def _linked(words: list[Token]) -> Any:
    open_link = False
    for token in words:
        if token.type == "link_open":
            target = Path(str(token.attrs.get("href", ""))).stem
            open_link = target in PAGES
            token.attrs["href"] = f"../{target}/"
        if token.type not in ("link_open", "link_close") or open_link:
            yield token


def contents(language: str) -> str:
    """The list of pages by their titles."""
    titles = {
        page: source(language, page).read_text("utf-8").splitlines()[0].removeprefix("# ") for page in PAGES
    }
    rows = "".join(
        f'<li><a class="row" href="{page}/"><strong>{title}</strong></a></li>\n'
        for page, title in titles.items()
    )
    return f'<h1>{HEADINGS[language]}</h1>\n<ul class="rows">\n{rows}</ul>\n'


def _page(language: str, page: str) -> Callable[[], str]:
    return lambda: contents(language) if page == CONTENTS else printed(language, page)


HELP = {
    f"{BENCH}/{language}/{page}.html": _page(language, page)
    for language in HEADINGS
    for page in (CONTENTS, *PAGES)
}
