"""A surging mower on a phone screen: hunting heard, checks walked, set, stopped, stones compared."""

from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.shop.bench.browser.test_access import faults_of

pytestmark = pytest.mark.xdist_group("browser")

TRACKS = Path("examples/jobs/tracks")
ON_JOB = "/jobs/1/running/"
PARTS = ("", "checks/", "governor/", "setting/", "stop/", "throw/", "throw/customer/", "balance/")


def back_to(page: Page, part: str) -> None:
    page.goto(ON_JOB)
    page.locator("a.row", has_text=part).click()


def recorded(page: Page, track: str, button: str) -> None:
    page.get_by_label("Or a new recording").set_input_files(TRACKS / track)
    page.get_by_role("button", name=button).click()


def test_a_surging_mower_from_hunting_to_a_stopped_blade_and_a_page_for_the_customer(quiet: Page):
    page = quiet
    back_to(page, "Governor")
    page.get_by_label("as left, after setting").check()
    recorded(page, "surging_found.csv", "Judge the governor")
    expect(page.get_by_text("It hunts by 56 rpm up and down")).to_be_visible()

    back_to(page, "Setting help")
    page.get_by_label("turns of a screw").check()
    for place, (turns, speed) in enumerate((("0", "3,340 ± 4"), ("1", "3,260 ± 4"))):
        page.get_by_label("Setting", exact=True).nth(place).fill(turns)
        page.get_by_label("Speed there, rpm").nth(place).fill(speed)
    page.get_by_role("button", name="Work out the next setting").click()
    expect(page.locator("[data-advice='repair first']")).to_be_visible()

    back_to(page, "Governor")
    page.get_by_label("as left, after setting").check()
    recorded(page, "steady_left.csv", "Judge the governor")
    back_to(page, "Setting help")
    expect(page.locator("[data-advice='checks first']")).to_be_visible()
    page.get_by_role("link", name="Walk the check list").click()
    for box in page.locator("select[id^=id_state_]").all():
        box.select_option("done")
    page.get_by_label("As left: all of these in order").check()
    page.get_by_role("button", name="Keep the marks").click()
    expect(page.get_by_text("Every check that comes before setting is done.")).to_be_visible()
    back_to(page, "Setting help")
    expect(page.locator("[data-advice='set to']")).to_be_visible()
    expect(page.get_by_text("Come from below")).to_be_visible()

    back_to(page, "Stop test")
    page.get_by_label("flywheel brake").check()
    page.get_by_label("Control let go at, s").fill("2")
    page.get_by_label("Stopping time in the manual, s").fill("3 s")
    recorded(page, "stop_left.csv", "Judge the stop")
    expect(page.locator("[data-word='pass']")).to_be_visible()

    back_to(page, "What it can throw")
    page.get_by_role("button", name="Work it out").click()
    page.get_by_role("link", name="For the customer").click()
    expect(page.get_by_text("Keep people and animals away as the manual of the machine says")).to_be_visible()

    back_to(page, "Balance")
    page.get_by_label("Mass of the whole blade").fill("0.8 lumps")
    page.get_by_label("The bit, g").fill("6")
    page.get_by_label("How far from the hole's centre").fill("250 mm")
    page.get_by_role("button", name="Work it out").click()
    held = page.locator(".field.wrong", has=page.get_by_label("Mass of the whole blade"))
    expect(held.locator(".fault")).to_contain_text("0.8 lumps")
    expect(page.get_by_label("The bit, g")).to_have_value("6")
    page.get_by_label("Mass of the whole blade").fill("0.8 kg")
    page.get_by_role("button", name="Work it out").click()
    expect(page.get_by_text("No grade for mower blades was found")).to_be_visible()

    assert faults(page) == []


def faults(page: Page) -> list[object]:
    """What the offline rules of access, a thumb and a narrow screen find wrong with the filled pages."""
    found: list[object] = []
    for part in PARTS:
        page.goto(ON_JOB + part)
        found += [(part, one) for one in faults_of(page)]
    return found
