"""A working day's accidents: a dead battery, two people at one job, a wrong entry."""

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.shop.bench.browser.conftest import PHONE

pytestmark = pytest.mark.xdist_group("browser")


def open_reading(page: Page, number: int) -> None:
    page.goto(f"/jobs/{number}/reading/")
    for label in ("as found", "Engine warm", "Choke off", "Throttle on its stop", "blades in air"):
        page.get_by_label(label).first.check()
    page.get_by_label("Read with").select_option("tach-1")


def type_three(page: Page, speed: str) -> None:
    for label in ("First reading, rpm", "Second", "Third"):
        page.get_by_label(label, exact=True).fill(speed)


def test_what_was_typed_outlives_a_dead_battery_on_the_same_and_on_another_device(
    browser: Browser, bench: str
):
    phone = browser.new_context(base_url=bench, viewport=PHONE)
    page = phone.new_page()
    page.goto("/jobs/5/reading/")
    page.get_by_label("First reading, rpm").press_sequentially("3397", delay=20)
    expect(page.locator("[data-kept]")).to_have_text("Kept on the bench and on this device.")
    page.close(run_before_unload=False)
    again = phone.new_page()
    again.goto("/jobs/5/reading/")
    expect(again.get_by_label("First reading, rpm")).to_have_value("3397")
    other = browser.new_context(base_url=bench, viewport=PHONE)
    tablet = other.new_page()
    tablet.goto("/jobs/5/reading/")
    expect(tablet.get_by_label("First reading, rpm")).to_have_value("3397")
    assert tablet.evaluate("document.querySelector('form[data-draft]').firstElementChild.className") == "kept"
    tablet.get_by_role("button", name="Start afresh").click()
    expect(tablet.get_by_label("First reading, rpm")).to_have_value("")
    phone.close()
    other.close()


def test_what_was_typed_without_the_bench_is_put_back_from_the_device(browser: Browser, bench: str):
    context = browser.new_context(base_url=bench, viewport=PHONE)
    page = context.new_page()
    page.goto("/jobs/6/sheet/")
    context.set_offline(True)
    page.get_by_label("Seals found").fill("paint on the governor screw")
    expect(page.locator("[data-kept]")).to_have_text("Kept on this device.")
    context.set_offline(False)
    page.goto("/jobs/6/sheet/")
    expect(page.get_by_label("Seals found")).to_have_value("paint on the governor screw")
    expect(page.locator("[data-kept]")).to_have_text("Put back what was typed on this device.")
    page.get_by_role("button", name="Save the sheet").click()
    expect(page.get_by_role("link", name="3 versions")).to_be_visible()
    page.wait_for_load_state()  # the page after a save has the device forget its copy
    page.goto("/jobs/6/sheet/")
    expect(page.locator("[data-kept]")).to_have_text("")
    context.close()


def test_of_two_who_save_the_same_job_the_second_sees_both_and_nothing_is_lost(browser: Browser, bench: str):
    first, second = (browser.new_context(base_url=bench).new_page() for _ in range(2))
    for page in (first, second):
        open_reading(page, 5)
    type_three(first, "3400")
    first.get_by_role("button", name="Judge it").click()
    expect(first.locator("[data-reading]")).to_have_text("3,400 rpm")
    type_three(second, "3410")
    second.get_by_role("button", name="Judge it").click()
    expect(second.get_by_role("heading", name="Somebody else saved first")).to_be_visible()
    expect(second.get_by_text("Theirs: version 2")).to_be_visible()
    second.get_by_role("button", name="Add mine as a new version on top of theirs").click()
    expect(second.get_by_text("3,400 rpm ±")).to_be_visible()
    expect(second.get_by_text("3,410 rpm ±").last).to_be_visible()
    for page in (first, second):
        page.context.close()


@pytest.mark.parametrize(
    ("box", "wrong", "says"),
    [
        ("Blade length", "22 parsecs", "must be a length with its unit"),
        ("Blade length", "50 ft", "at most"),
        ("Engine maker's highest no-load speed, rpm (if known)", "3,6 rpm", "the decimal mark is set to '.'"),
        ("Its ±, rpm (if known)", "many", "must be a shaft speed"),
        ("Year made (if known)", "last year", "must be a year"),
        ("Cylinders (if known)", "99", "must be at most 16"),
    ],
)
def test_a_wrong_entry_is_marked_at_its_box_and_kept(quiet: Page, box, wrong, says):
    page = quiet
    page.goto("/jobs/new/machine/?blade=21+in")
    page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true; })")
    page.get_by_role("textbox", name="Machine", exact=True).fill("Wrong entries")
    page.get_by_label("Maker's no-load speed, rpm").fill("3000")
    page.get_by_label("Its ±, rpm").fill("0")
    page.get_by_label("It is meant with the").select_option("blades in air")
    page.get_by_label("Manual, edition and page").fill("page 1")
    page.get_by_label(box, exact=True).fill(wrong)
    page.get_by_role("button", name="Work it out").click()
    held = page.locator(".field.wrong", has=page.get_by_label(box, exact=True))
    expect(held.locator(".fault")).to_contain_text(wrong)
    expect(held.locator(".fault")).to_contain_text(says)
    expect(page.get_by_label(box, exact=True)).to_have_value(wrong)
    expect(page.get_by_role("textbox", name="Machine", exact=True)).to_have_value("Wrong entries")
    expect(page.locator("[data-kept]")).to_have_text("")  # what was just sent is no draft put back


def test_a_draft_still_on_its_way_does_not_come_back_after_its_save(quiet: Page):
    page, held = quiet, []
    page.route("**/drafts/**", lambda route: held.append(route))  # the yard's poor line: what is sent waits
    page.goto("/jobs/new/machine/?blade=21+in")
    with page.expect_request("**/drafts/**"):
        page.get_by_role("textbox", name="Machine", exact=True).fill("A slow line")
    page.get_by_role("button", name="Work it out").click()
    expect(page.locator("[data-ceiling]")).to_have_count(0)  # the save waits for what went before it
    for route in held:
        route.continue_()
    expect(page.locator("[data-ceiling]")).to_be_visible()
    page.wait_for_load_state()  # this page has the device forget its copy
    page.unroute("**/drafts/**")
    page.goto("/jobs/new/machine/")
    expect(page.get_by_role("textbox", name="Machine", exact=True)).to_have_value("")
