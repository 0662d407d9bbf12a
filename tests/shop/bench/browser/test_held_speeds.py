"""A clip of several held speeds on a phone: each stretch under a thumb, read alone at a press, in both languages."""

import re
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from tests.shop import ladder
from tests.shop.bench.browser.by_keyboard import keyboard_faults
from tests.shop.bench.browser.conftest import PHONE, WAIT_MS
from tests.shop.bench.browser.test_access import LEAST_PX, faults_of

pytestmark = pytest.mark.xdist_group("browser")

ALONE = {"en-US": "read this stretch alone", "de-DE": "diesen Abschnitt allein lesen"}
READ = {"en-US": "Read the clip", "de-DE": "Aufnahme lesen"}


@pytest.fixture
def clip(tmp_path: Path) -> Path:
    path = tmp_path / "mower.wav"
    path.write_bytes(ladder.as_sound())
    return path


def given(page: Page, clip: Path, locale: str) -> Locator:
    """The buttons of the stretches, once the clip was given to the page of measuring."""
    page.goto("/measure/")
    page.locator("[name=clip]").set_input_files(clip)
    page.locator("[name=engine]").select_option("4-1")
    page.get_by_role("button", name=READ[locale]).click()
    return page.get_by_role("button", name=ALONE[locale])


def rpm(page: Page) -> float:
    return float((page.locator(".plate").get_attribute("data-rpm") or "nan").replace(",", "."))


@pytest.mark.parametrize("locale", ["en-US", "de-DE"])
def test_every_stretch_is_read_at_a_press_of_a_thumb(browser: Browser, bench: str, clip: Path, locale: str):
    page = browser.new_page(base_url=bench, viewport=PHONE, locale=locale)
    buttons = given(page, clip, locale)
    expect(buttons).to_have_count(3)
    for place, meant in enumerate(ladder.RPM):
        box = buttons.nth(place).bounding_box()
        assert box is not None
        assert min(box["width"], box["height"]) >= LEAST_PX
        assert box["x"] + box["width"] <= PHONE["width"]
        buttons.nth(place).click()
        expect(buttons.nth(place)).to_have_attribute("aria-current", "true")
        assert rpm(page) == pytest.approx(meant, rel=2e-3)  # by construction, see `ladder`
    assert [*faults_of(page), *keyboard_faults(page)] == []
    page.close()


def test_enter_in_a_box_reads_what_is_typed_and_not_the_first_stretch(quiet: Page, clip: Path):
    given(quiet, clip, "en-US")
    quiet.get_by_label("From, s").fill("11")
    quiet.get_by_label("To, s").fill("15")
    quiet.get_by_label("To, s").press("Enter")
    expect(quiet.get_by_label("From, s")).to_have_value("11")
    assert rpm(quiet) == pytest.approx(3180, rel=2e-3)


def test_on_a_job_the_condition_is_said_and_the_stretch_pressed(quiet: Page, clip: Path):
    page = quiet
    page.goto("/jobs/3/listen/")
    page.locator("[name=clip]").set_input_files(clip)
    for label in ("Engine warm", "Choke off", "Throttle on its stop", "blades in air"):
        page.get_by_label(label).check()
    page.get_by_role("button", name="Keep it and judge it").click()
    expect(page.get_by_text("Nothing is judged yet.")).to_be_visible()
    assert [*faults_of(page), *keyboard_faults(page)] == []
    page.set_viewport_size(PHONE)
    page.get_by_label("cutting").check()
    page.get_by_role("button", name=ALONE["en-US"]).nth(1).click()
    expect(page).to_have_url(re.compile("/jobs/3/verdict/"))
    expect(page.get_by_text("cutting · sound").first).to_be_visible()


@pytest.mark.parametrize("scripts", [True, False])
def test_a_clip_stands_in_line_and_its_answer_comes_on_the_same_page_also_without_scripts(
    browser: Browser, bench: str, clip: Path, scripts: bool
):
    context = browser.new_context(base_url=bench, viewport=PHONE, locale="en-US", java_script_enabled=scripts)
    page = context.new_page()
    page.set_default_timeout(WAIT_MS)
    page.goto("/measure/")
    page.locator("[name=clip]").set_input_files(clip)
    page.locator("[name=engine]").select_option("2-1" if scripts else "4-2")  # asked by no other test
    seen: list[str] = []
    page.on("framenavigated", lambda frame: seen.append(frame.url))
    page.get_by_role("button", name=READ["en-US"]).click()
    if not scripts:
        expect(page.get_by_role("heading", name="A recording is being read")).to_be_visible()
        assert page.get_by_role("link", name="Look again").bounding_box()["height"] >= LEAST_PX
        page.get_by_role(
            "button", name="Show the answer"
        ).click()  # there once the page has looked again by itself
    expect(page.locator(".plate")).to_be_visible()
    expect(page).to_have_url(re.compile("/measure/$"))
    assert any("/measure/line/" in url for url in seen)
    assert "mower.wav is still here" in page.content()
    context.close()
