"""A whole job without a mouse: from the quick ask over boxes, readings and verdicts to the signed sheet as PDF."""

import re

import pytest
from playwright.sync_api import Page, expect

from tests.shop.bench.browser.conftest import DESK

pytestmark = pytest.mark.xdist_group("browser")

FOCUSED = """() => {
  const e = document.activeElement;
  const label = e.labels && e.labels.length ? e.labels[0].innerText : e.innerText;
  return [(label || '').trim().split('\\n')[0], getComputedStyle(e).outlineStyle, e.type || e.tagName];
}"""
FARTHEST = 130


def reach(page: Page, words: str, *, key: str = "Tab") -> str:
    """Go on until that control has the focus, and shows it; returns what kind it is."""
    for _ in range(FARTHEST):
        page.keyboard.press(key)
        label, outline, kind = page.evaluate(FOCUSED)
        if label == words:
            assert outline != "none", f"{words} has the focus and does not show it"
            return str(kind)
    raise AssertionError(f"{words} is not reached by keyboard")


def enter(page: Page, words: str, typed: str) -> None:
    reach(page, words)
    page.keyboard.press("Control+a")
    page.keyboard.type(typed)


def choose(page: Page, words: str, typed: str, value: str) -> None:
    """In a list by typing its beginning, as keyboards do it; again where a second passed between two letters."""
    assert reach(page, words) == "select-one"
    for _ in range(3):
        page.keyboard.type(typed)
        if page.evaluate("() => document.activeElement.value") == value:
            return
        page.wait_for_timeout(1200)  # the list forgets what was typed
    assert page.evaluate("() => document.activeElement.value") == value


def tick(page: Page, words: str) -> None:
    assert reach(page, words) == "checkbox"
    if not page.evaluate("() => document.activeElement.checked"):  # given before in this job
        page.keyboard.press("Space")
    assert page.evaluate("() => document.activeElement.checked")


def pick(page: Page, *, first: str, wanted: str) -> None:
    """One of a group of radio buttons: to the group, then by arrows."""
    assert reach(page, first) == "radio"
    page.keyboard.press("Space")
    for _ in range(8):
        if page.evaluate(FOCUSED)[0] == wanted:
            break
        page.keyboard.press("ArrowDown")
    assert page.evaluate(FOCUSED)[0] == wanted
    assert page.evaluate("() => document.activeElement.checked")


def follow(page: Page, words: str, address: str) -> None:
    reach(page, words)
    page.keyboard.press("Enter")
    page.wait_for_url(re.compile(address))


def read(page: Page, stage: str, *speeds: str, on: str) -> None:
    """A reading with the shop's tachometer, typed and judged; `on` is the stage that is marked at first."""
    pick(page, first=on, wanted=stage)
    for words in (
        "Looked at before it ran, everything on the list: all in order",
        *("Engine warm", "Choke off", "Throttle on its stop"),
    ):
        tick(page, words)
    pick(
        page,
        first="blades off: disengaged, engine alone",
        wanted="blades in air: engaged, nothing being cut",
    )
    choose(page, "Read with", "Opt", "tach-1")
    for words, speed in zip(("First reading, rpm", "Second", "Third"), speeds, strict=True):
        enter(page, words, speed)
    page.keyboard.press("Enter")
    page.wait_for_url("**/verdict/**")


def test_a_whole_job_by_keyboard_alone(quiet: Page):
    page = quiet
    page.set_viewport_size(DESK)
    page.goto("/")
    reach(page, "Skip to the work")
    page.keyboard.press("Enter")
    enter(page, "Blade length", "22 in")
    page.keyboard.press("Enter")
    expect(page.locator("[data-ceiling]")).to_have_text("3,298 rpm")  # by hand: 19,000 / (pi 22/12)
    follow(page, "Start a job with this blade", "/jobs/new/machine/")

    enter(page, "Machine", "By keyboard")
    choose(page, "Kind", "ride", "ride-on rotary mower")
    expect(page.get_by_label("Clutch")).to_be_visible()  # the boxes of this kind are there
    reach(page, "The maker's no-load speed, with its page")
    page.keyboard.press("Enter")
    enter(page, "Maker's no-load speed, rpm (if known)", "3,100")
    enter(page, "Its ±, rpm (if known)", "100")
    choose(page, "It is meant with the", "blades in", "blades in air")
    enter(page, "Manual, edition and page (if known)", "handbook, page 7")
    choose(page, "Clutch", "by hand", "by hand")
    reach(page, "What it is, and what is marked on it")
    page.keyboard.press("Enter")  # folded open, and what is inside is next
    reach(page, "Work it out")
    page.keyboard.press("Enter")
    page.wait_for_url("**/window/**")
    expect(page.locator("[data-target]")).to_have_text("3,100 rpm")
    reach(page, "What if? Another blade, pulley or engine speed")
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    page.keyboard.press("End")  # the blade's handle, as long as it goes
    expect(page.locator("[data-what-if]")).not_to_have_text("3,298 rpm")
    page.goto(page.url)

    follow(page, "Take a reading", "/reading/")
    read(page, "as found", "3620", "3,615", "3624 rpm", on="as found")
    expect(page.locator("[data-word]")).to_have_attribute("data-word", "fail")
    follow(page, "Read again", "/reading/")
    read(page, "as left, after setting", "3100", "3102", "3098", on="as left, after setting")
    expect(page.locator("[data-word]")).to_have_attribute("data-word", "pass")

    follow(page, "To the sheet", "/sheet/")
    enter(page, "Hours on the meter", "212")
    enter(page, "Countersigned by", "the owner")
    pick(page, first="set and read", wanted="set and read")
    reach(page, "Photo")
    reach(page, "Save the sheet")
    page.keyboard.press("Enter")
    expect(page.get_by_text("4 versions")).to_be_visible()
    reach(page, "Today", key="Shift+Tab")  # out against the order, and in again
    reach(page, "Open the PDF")
    with page.context.expect_event("response", lambda reply: reply.url.endswith("/sheet.pdf")) as got:
        page.keyboard.press("Enter")
    assert got.value.status == 200
    assert got.value.headers["content-type"] == "application/pdf"
