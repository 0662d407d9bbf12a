"""Every page, in light and dark, read by the offline accessibility rules; every target large enough for a thumb."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser

from tests.shop.bench.browser.conftest import DESK, PHONE

pytestmark = pytest.mark.xdist_group("browser")

PAGES = (
    "/",
    "/?blade=22+in",
    "/?blade=22&engine_pulley=3+in",
    "/liking/",
    "/today/",
    "/jobs/",
    "/jobs/?q=orchard",
    "/jobs/new/",
    "/jobs/new/machine/",
    "/jobs/new/paste/",
    "/jobs/4/machine/",
    "/jobs/4/window/",
    "/jobs/4/what-if/",
    "/jobs/4/drive/",
    "/jobs/4/reading/",
    "/jobs/4/listen/",
    "/jobs/4/compare/",
    "/jobs/4/verdict/",
    "/jobs/3/verdict/",
    "/jobs/6/verdict/",
    "/jobs/4/sheet/",
    "/jobs/4/versions/",
    "/measure/",
    "/measure/strobe/",
    "/jobs/4/strobe/",
    "/shelf/",
    "/shelf/machines/",
    "/shelf/customers/",
    "/shelf/instruments/",
    "/shelf/instruments/tach-1/",
    "/shelf/stock/",
    "/shelf/stock/tables/",
    "/shelf/rules/",
    "/shelf/rules/own/",
    "/shelf/shop/",
    "/teach/",
    "/teach/3/working/",
    "/teach/3/guess/",
    "/teach/class-sheet/?number=7&count=3&answers=shown",
)
LEAST_PX = 44
# Everything a thumb must hit, save links inside a sentence, which the guideline leaves out (WCAG 2.2, 2.5.8: inline).
SMALL = """els => els.filter(e => {
  const box = e.getBoundingClientRect();
  const seen = box.width > 0 && box.height > 0 && getComputedStyle(e).visibility === 'visible';
  const inline = e.tagName === 'A' && getComputedStyle(e).display === 'inline';
  const skip = e.classList.contains('skip') || e.classList.contains('unseen');
  const held = e.closest('label.choice');
  const own = held ? held.getBoundingClientRect().height : box.height;
  return seen && !inline && !skip && own < LEAST - 0.5;
}).map(e => e.outerHTML.slice(0, 120))""".replace("LEAST", str(LEAST_PX))


# The dark page is the light one with other colours: only the rules on colour can tell them apart.
BY_LIGHT = {"runOnly": {"type": "tag", "values": ["cat.color"]}}
OPEN_ALL = "all => all.forEach(one => { one.open = true; })"
TARGETS = "a, button, input:not([type=hidden]), select, textarea, summary"
SIDEWAYS = "e => e.scrollWidth - e.clientWidth"


def seen(browser: Browser, bench: str) -> dict[str, dict[str, object]]:
    """What is wrong with each page, by kind of fault; one visit a page."""
    found: dict[str, dict[str, object]] = {"light": {}, "dark": {}, "small": {}, "phone": {}, "desk": {}}
    page, axe = browser.new_page(base_url=bench, viewport=PHONE), Axe()
    for path in PAGES:
        page.set_viewport_size(PHONE)
        page.goto(path)
        page.locator("details").evaluate_all(OPEN_ALL)
        for scheme, rules in (("light", None), ("dark", BY_LIGHT)):
            page.emulate_media(color_scheme=scheme)
            rows = axe.run(page, options=rules).response["violations"]
            found[scheme][path] = [(row["id"], row["nodes"][0]["html"][:160]) for row in rows]
        found["small"][path] = page.locator(TARGETS).evaluate_all(SMALL)
        found["phone"][path] = page.locator("html").evaluate(SIDEWAYS)
        page.set_viewport_size(DESK)
        found["desk"][path] = page.locator("html").evaluate(SIDEWAYS)
    page.close()
    return {kind: {path: fault for path, fault in rows.items() if fault} for kind, rows in found.items()}


def test_no_page_breaks_a_rule_of_access_in_either_light_or_misses_a_thumb_or_scrolls_sideways(
    browser: Browser, bench: str
):
    # One visit a page serves all five, because opening pages is what costs time here.
    faults = seen(browser, bench)
    assert faults == {kind: {} for kind in faults}
