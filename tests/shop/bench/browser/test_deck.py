"""A belt drawn by tapping: by a thumb, with a mouse and by the keyboard alone, each ending in the same route."""

import re

import pytest
from playwright.sync_api import Browser, Page, expect

from benchmarks._thumb import Hand
from benchmarks._twin_spindle import sized, twin_spindle
from tests.shop.bench.browser.by_rules import rule_faults
from tests.shop.bench.browser.conftest import DESK, PHONE

pytestmark = pytest.mark.xdist_group("browser")

MOST_S = 300.0  # by thumb, from the list of jobs to the parts list, asked of the working day
TARGET = 44  # px; the least a thumb hits
IDLER = ".deck-grip[data-at='3'][data-place=at]"


def begun(page: Page) -> None:
    page.goto("/jobs/new/deck/?spindles=2")
    expect(page.locator(".deck-grip").first).to_be_visible()


def test_a_twin_spindle_deck_by_thumb_from_the_list_of_jobs_to_the_parts_list(browser: Browser, bench: str):
    context = browser.new_context(base_url=bench, viewport=PHONE, has_touch=True, is_mobile=True)
    page = context.new_page()
    faults: list[str] = []
    page.on("pageerror", lambda fault: faults.append(str(fault)))
    page.goto("/")
    hand = Hand(page)
    twin_spindle(hand)
    assert hand.cost.seconds < MOST_S
    assert faults == []
    context.close()


def test_everything_that_can_be_tapped_is_as_wide_as_a_thumb_and_no_rule_of_access_is_broken(quiet: Page):
    begun(quiet)
    for grip in quiet.locator(".deck-grip .deck-hit").all():
        box = grip.bounding_box()
        assert box is not None
        assert min(box["width"], box["height"]) >= TARGET
    for button in quiet.locator(".tools button").all():
        assert button.bounding_box()["height"] >= TARGET
    assert rule_faults(quiet) == []


def test_a_mouse_pulls_a_pulley_and_undo_puts_it_back(quiet: Page):
    page = quiet
    page.set_viewport_size(DESK)
    begun(page)
    grip = page.locator(IDLER)
    grip.scroll_into_view_if_needed()
    box = grip.locator(".pic-part").bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 30, y - 20, steps=4)
    page.mouse.up()
    beside = page.locator("[name=w3_x]")
    expect(beside).not_to_have_value("")
    expect(page.locator("[name=w3_order]")).to_have_value("")  # a pull is no tap
    page.get_by_role("button", name="Undo").click()
    expect(beside).to_have_value("")
    for _ in range(600):  # until the bench has laid it anew
        if abs((grip.locator(".pic-part").bounding_box() or box)["x"] - box["x"]) <= 2:
            break
        page.wait_for_timeout(100)
    assert grip.locator(".pic-part").bounding_box()["x"] == pytest.approx(box["x"], abs=2)


def test_the_figures_follow_what_is_typed_and_tapped(quiet: Page):
    page = quiet
    begun(page)
    for at in (0, 3, 1, 2):
        page.locator(f".deck-grip[data-at='{at}'][data-place=at]").click()
    sized(Hand(page))
    facts = page.locator("#wheel-1 [data-wheel-facts]")
    expect(facts).to_contain_text("turns 1.263 to 1.278 times")  # by hand: 6/4.75 and 5.75/4.5
    page.locator("[name=w0_size]").fill("5")
    expect(facts).to_contain_text("turns 1.053 to 1.056 times")  # by hand: 5/4.75 and 4.75/4.5
    page.locator(IDLER).focus()
    page.get_by_role("button", name="Other side of the belt").click()
    expect(page.locator("[name=w3_side]")).to_have_value("flat inside")
    expect(page.locator("[data-said]")).to_contain_text("idler")  # it is not touched from inside, and says so


def test_a_belt_is_drawn_by_the_keyboard_alone(quiet: Page):
    page = quiet
    page.set_viewport_size(DESK)
    begun(page)
    page.locator("[name=belt]").focus()
    for at in (0, 3, 1, 2):
        for _ in range(60):
            page.keyboard.press("Tab")
            if page.evaluate("document.activeElement.dataset.at") == str(at):
                break
            if page.evaluate("!document.activeElement.closest('form')"):
                page.locator("[name=belt]").focus()
        assert page.evaluate("document.activeElement.dataset.place") in ("at", "slack")
        if page.evaluate("document.activeElement.dataset.place") != "at":
            page.keyboard.press("Shift+Tab")
        page.keyboard.press("Enter")
        page.locator("[name=belt]").focus()
    assert [page.locator(f"[name=w{at}_order]").input_value() for at in (0, 3, 1, 2)] == ["1", "2", "3", "4"]
    page.locator(IDLER).focus()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Shift+ArrowUp")
    assert re.fullmatch(r"\d+( \d+/\d+)?", page.locator("[name=w3_x]").input_value())
    page.keyboard.press("f")
    expect(page.locator("[name=w3_side]")).to_have_value("flat inside")
    page.keyboard.press("z")
    expect(page.locator("[name=w3_side]")).to_have_value("flat back")
    page.keyboard.press("Delete")
    expect(page.locator("[name=w3_order]")).to_have_value("")
    label = page.locator(IDLER).get_attribute("aria-label")
    # Of four pulleys the one just taken off is no longer on the belt; "idler" stood here only until the bench answered.
    expect(page.locator("[data-said]")).to_contain_text("1 pulley is not on it yet")
    expect(page.locator("[data-said]")).not_to_contain_text("idler")
    assert label is not None
