"""A drive for a machine that may not run as its maker sets it, on a phone: from the shut window to the parts list."""

import re
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.xdist_group("browser")

EXAMPLES = Path(__file__).parents[4] / "examples"


def text_of(name: str) -> str:
    return (EXAMPLES / name).read_text("utf-8")


def test_from_a_machine_that_will_not_do_to_the_parts_list_of_a_drive_from_stock(quiet: Page):
    page = quiet
    page.goto("/shelf/stock/")
    page.get_by_role("link", name="Pulleys and belts as two tables").click()
    page.get_by_label("Pulleys", exact=True).fill(text_of("stock/sheaves.csv"))
    page.get_by_label("Belts", exact=True).fill(text_of("stock/belts.csv"))
    page.get_by_role("button", name="Put on the shelf").click()
    expect(page.get_by_text("rows are on the shelf")).to_be_visible()

    page.goto("/jobs/new/paste/")
    page.get_by_label("Machine sheet").fill(text_of("belt_28_inch.toml"))
    page.get_by_role("button", name="Work it out").click()
    page.get_by_role("link", name="Another drive").click()

    page.get_by_label("Belt that is on").fill("A51")
    page.get_by_label("Shaft to shaft, engine slid in").fill("420")
    page.get_by_label("Shaft to shaft, engine slid out").fill("520 mm")
    page.get_by_label("Engine shaft and how").fill("1 in key")
    page.get_by_label("Driven shaft and how").fill("5/8 in key")
    page.get_by_label("Largest pulley with room at the engine").fill("5 in")
    page.get_by_text("More: the belt's length").click()
    page.get_by_label("Power the blade takes").fill("5 hp")
    page.get_by_role("button", name="Look for drives").first.click()
    fault = page.get_by_role("link", name=re.compile("Shaft to shaft, engine slid in"))
    expect(fault).to_be_visible()  # a length without its unit is named, and nothing else is lost
    page.wait_for_timeout(600)  # longer than the pause after which a draft is sent
    page.goto(page.url)
    expect(page.get_by_label("Power the blade takes")).to_have_value("5 hp")
    page.get_by_label("Shaft to shaft, engine slid in").fill("420 mm")
    page.get_by_role("button", name="Look for drives").first.click()

    expect(page.locator("section.drive").first).to_be_visible()
    first = page.locator("section.drive").first
    expect(first.get_by_text("Not original")).to_be_visible()
    expect(first.locator("svg")).to_be_visible()
    assert page.evaluate("document.documentElement.scrollWidth") <= page.viewport_size["width"]
    ceiling = first.locator("[data-never-above]").get_attribute("data-never-above")
    first.get_by_role("button", name="Put this drive into the job").click()

    paper = page.locator("a[data-paper]")
    expect(paper).to_be_visible()
    reply = page.request.get(paper.get_attribute("href"))
    assert reply.ok
    assert reply.headers["content-type"] == "application/pdf"
    assert reply.body().startswith(b"%PDF")
    page.get_by_role("link", name="What it allows now").click()
    expect(page.locator("[data-ceiling]").first).to_have_attribute("data-ceiling", ceiling)
