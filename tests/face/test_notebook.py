"""What a notebook shows: the head, the picture, the arithmetic; nothing somebody typed becomes part of the page."""

import pickle
from html.parser import HTMLParser
from pathlib import Path

import pytest

import snath

HOSTILE = "<img src=x onerror=alert(1)>&\"'</svg></pre><script>"
SHEET = Path("examples/direct_21_inch.toml").read_text("utf-8")
ALLOWED = {
    *("div", "p", "strong", "br", "details", "summary", "pre", "table", "tr", "th", "td"),
    *("svg", "g", "rect", "line", "polyline", "polygon", "path", "circle", "ellipse", "text", "tspan", "title", "desc"),
}  # fmt: skip


class Tags(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.tags: set[str] = set()
        self.attributes: set[str] = set()

    def handle_starttag(self, tag, attrs):
        self.tags.add(tag)
        self.attributes |= {name for name, _ in attrs}


def shown(answer) -> Tags:
    tags = Tags()
    tags.feed(answer._repr_html_())
    return tags


def hostile_sheet() -> snath.Sheet:
    name = HOSTILE.replace('"', '\\"')
    text = "\n".join(f'name = "{name}"' if line.startswith("name ") else line for line in SHEET.splitlines())
    return snath.read_sheet(text.replace('name = "blade"', f'name = "{name}"'))


@pytest.mark.parametrize(
    "ask", [snath.window, lambda sheet: snath.judge(sheet, "3,000 rpm")], ids=["window", "judge"]
)
def test_what_was_typed_stays_text(ask):
    answer = ask(hostile_sheet())
    tags = shown(answer)
    assert tags.tags <= ALLOWED
    assert "svg" in tags.tags
    assert not [name for name in tags.attributes if name.startswith("on") or name in ("src", "href", "style")]
    assert "&lt;img src=x" in answer._repr_html_()


def test_a_fleet_shows_its_rows_and_what_was_typed_stays_text():
    found = snath.fleet(
        [{"machine": HOSTILE, "kind": "walk-behind rotary mower", "blade": "22 in", "notes": HOSTILE}]
    )
    assert shown(found).tags <= ALLOWED
    assert "&lt;img src=x" in found._repr_html_()
    assert "on the speed alone" in str(found)


def test_a_limit_shows_picture_working_and_caution():
    found = snath.limit("22 in")
    page = found._repr_html_()
    assert "<svg" in page
    assert found.working.splitlines()[0] in page
    assert "every plug lead off" in page
    assert "every plug lead off" in str(found)


def test_a_short_line_stands_for_an_answer_where_it_is_asked_for():
    # by hand: 19,000 ft/min over pi times 22 in is 3,298.8 rpm, rounded down
    assert repr(snath.limit("22 in")) == "<Limit: Never above 3,298 rpm, nothing being cut.>"
    assert repr(snath.rule_book()).startswith("<RuleBook: ")


def test_an_answer_survives_another_process():
    found = snath.judge(snath.read_sheet(SHEET), "3,000 rpm", u="5 rpm")
    back = pickle.loads(pickle.dumps(found))
    assert back.to_dict() == found.to_dict()
    assert back.working == found.working


def test_the_rule_book_is_found_by_id_and_escaped():
    book = snath.rule_book()
    assert book["mower-tip-speed-consumer"].printed == "at most 19,000 ft/min"
    assert shown(book).tags <= ALLOWED
