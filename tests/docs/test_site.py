"""The manual as pages: built without a warning, no script but files of its own, no address outside, nothing lost."""

import io
import re
import warnings
from html.parser import HTMLParser
from pathlib import Path

import pytest
from sphinx.application import Sphinx

from tests.docs.pages import DOCS

OUTSIDE = re.compile(r"^(https?:)?//(?!localhost)")  # the bench itself, where it was started, is not outside


@pytest.fixture(scope="module")
def site(tmp_path_factory) -> Path:
    """The built pages."""
    folder = tmp_path_factory.mktemp("site")
    told = io.StringIO()
    with warnings.catch_warnings():  # its own parts warn of each other; of the pages it tells us
        warnings.simplefilter("ignore")
        app = Sphinx(DOCS, DOCS, folder / "html", folder / "trees", "html", status=None, warning=told)
        app.build()
    assert told.getvalue() == "", "a new page belongs into a list of docs/index.md"
    return folder / "html"


class Seen(HTMLParser):
    """What a page holds that a strict policy, or a machine without a network, would not let through."""

    def __init__(self) -> None:
        super().__init__()
        self.faults: list[str] = []
        self.equations = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        self.equations += tag == "math"
        if tag == "script" and not given.get("src"):
            self.faults.append("inline script")
        for name, value in given.items():
            if name.startswith("on"):
                self.faults.append(f"{tag} {name}")
            if name in ("src", "href", "action", "data", "srcset") and OUTSIDE.match(value or ""):
                self.faults.append(f"{tag} {name}={value}")
            if value and value.strip().lower().startswith("javascript:"):
                self.faults.append(f"{tag} {name}")


def read(text: str) -> Seen:
    seen = Seen()
    seen.feed(text)
    return seen


def test_every_page_holds_no_script_of_its_own_and_asks_nobody_outside(site):
    pages = {
        path.relative_to(site).as_posix(): read(path.read_text("utf-8")) for path in site.rglob("*.html")
    }
    assert {name: seen.faults for name, seen in pages.items() if seen.faults} == {}
    assert sum(seen.equations for seen in pages.values()) > 40
    assert {"index.html", "genindex.html", "search.html", "first_hour.html", "architecture.html"} <= set(
        pages
    )


def test_every_page_of_the_manual_is_built_and_can_be_searched(site):
    written = {path.relative_to(DOCS).with_suffix("").as_posix() for path in DOCS.rglob("*.md")}
    written = {name for name in written if not name.startswith("_site")}
    found = (site / "searchindex.js").read_text("utf-8")
    assert [name for name in sorted(written) if not (site / f"{name}.html").exists()] == []
    assert [name for name in sorted(written) if f'"{name}"' not in found] == []


def test_words_rules_and_commands_are_in_the_index(site):
    index = (site / "genindex.html").read_text("utf-8")
    for word in ("tip circle", "snath judge", "mower-tip-speed-consumer", "Hunting"):
        assert f">{word}<" in index


def test_the_guard_bites():
    planted = (
        '<script>1</script><img src="https://a.example/x.png"><a href="//b.example" onclick="x()">y</a><math>'
    )
    seen = read(planted)
    assert seen.faults == [
        "inline script",
        "img src=https://a.example/x.png",
        "a href=//b.example",
        "a onclick",
    ]
    assert seen.equations == 1
