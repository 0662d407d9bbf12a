"""Every page, in light and dark, by the offline rules of access, by keyboard alone, and for a thumb."""

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.shop.bench.browser.by_keyboard import keyboard_faults
from tests.shop.bench.browser.by_rules import rule_faults
from tests.shop.bench.browser.conftest import DESK, PHONE
from tests.shop.bench.browser.every_page import every_page, open_page

pytestmark = pytest.mark.xdist_group("browser")

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
TARGETS = "a, button, input:not([type=hidden]), select, textarea, summary"
SIDEWAYS = "e => e.scrollWidth - e.clientWidth"
# Forms into which something wrong is typed everywhere and which are then sent: what they say must be readable too.
WRONG = (
    "/?blade=22+in",
    "/jobs/new/machine/",
    "/jobs/new/paste/",
    "/jobs/4/machine/",
    "/jobs/5/reading/",
    "/jobs/4/listen/",
    "/jobs/4/compare/",
    "/jobs/4/strobe/",
    "/jobs/7/drive/",
    "/jobs/4/running/governor/",
    "/jobs/3/running/setting/",
    "/jobs/4/running/stop/",
    "/jobs/4/running/throw/",
    "/jobs/4/running/balance/",
    "/measure/",
    "/measure/strobe/",
    "/shelf/instruments/",
    "/shelf/instruments/tach-1/",
    "/shelf/stock/tables/",
    "/shelf/rules/own/",
    "/shelf/chart/",
    "/teach/4/guess/",
    "/people/add/",
)
FILL_WRONG = """() => {
  document.querySelectorAll('details').forEach(one => { one.open = true; });
  const form = [...document.querySelectorAll('main form')].filter(f => !f.querySelector('[type=search]')).pop();
  form.querySelectorAll('input[type=text], input:not([type]), textarea').forEach(e => { e.value = '12 parsecs ]'; });
  const button = form.querySelector('.buttons button:not([name])') || form.querySelector('button');
  form.requestSubmit(button);
}"""


@pytest.fixture
def phone(browser: Browser, bench: str):
    page = browser.new_page(base_url=bench, viewport=PHONE, color_scheme="light", locale="en-US")
    yield page
    page.close()


def faults_of(page: Page) -> list[str]:
    """What is wrong with the page as it is shown now; one visit serves all, because opening pages costs the time."""
    faults = rule_faults(page)
    faults += [f"small: {one}" for one in page.locator(TARGETS).evaluate_all(SMALL)]
    faults += [f"sideways on a {name}" for name in _sideways(page)]
    return faults


def _sideways(page: Page) -> list[str]:
    found = []
    for name, size in (("desk", DESK), ("phone", PHONE)):
        page.set_viewport_size(size)
        if page.locator("html").evaluate(SIDEWAYS):
            found.append(name)
    return found


def test_no_page_breaks_a_rule_of_access_misses_a_thumb_scrolls_sideways_or_needs_a_mouse(phone: Page):
    found = {}
    for path in every_page(phone):
        open_page(phone, path)
        if faults := [*faults_of(phone), *keyboard_faults(phone)]:
            found[path] = faults
    assert found == {}


def test_no_page_with_wrong_entries_breaks_a_rule_of_access_or_needs_a_mouse(phone: Page):
    found = {}
    for path in WRONG:
        open_page(phone, path)
        phone.evaluate(FILL_WRONG)
        expect(phone.locator(".faults").first, path).to_be_visible()
        if faults := [*faults_of(phone), *keyboard_faults(phone)]:
            found[path] = faults
    assert found == {}


PLANTED = {
    "no ring": ":focus-visible { outline: none !important; }",
    "covered": ".tasks { top: 200px !important; }",
    "small": "main .button { min-height: 20px !important; padding: 0 !important; }",
    "color-contrast": "main a { color: #bbb !important; }",
    "sideways": "main { min-width: 2000px !important; }",
}


@pytest.mark.parametrize(
    "fault", ["no ring", "covered", "small", "color-contrast", "sideways", "jumps", "on: stop"]
)
def test_a_fault_planted_into_a_page_is_found(phone: Page, fault: str):
    open_page(phone, "/today/")
    if fault in PLANTED:
        phone.evaluate("rule => document.styleSheets[0].insertRule(rule)", PLANTED[fault])
    elif fault == "jumps":
        phone.evaluate("() => { document.querySelector('main a').tabIndex = 7; }")
    else:
        phone.evaluate("""() => document.addEventListener('keydown', press => {
            if (press.key === 'Tab' && document.activeElement.closest('main')) press.preventDefault(); })""")
    assert any(fault in one for one in [*faults_of(phone), *keyboard_faults(phone)])
