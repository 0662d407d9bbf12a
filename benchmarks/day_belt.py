"""A twin-spindle rider with an idler, from an empty shop on a phone: window, other sheaves, parts list. How many taps?

    python -m benchmarks.day_belt ADDRESS

ADDRESS is a bench on an empty data folder. Seconds are 1.5 a tap (or pull) and 0.4 a key, as the issue counts them;
nothing is typed but sizes and the belt's print. The machine is invented: 6 in on the engine, 4 3/4 in on the
spindles, blades of 21 in, so that no speed near the engine's 3,600 rpm will do.
"""

import sys
from dataclasses import dataclass

from playwright.sync_api import Locator, Page, expect, sync_playwright

TAP_S, KEY_S = 1.5, 0.4
MOST_S = 300.0
CHROMIUM = "/usr/bin/chromium"
PHONE = {"width": 390, "height": 844}
SIZES = (  # pulley by its number on the page, box, what a tape says
    *((0, "size", "6"), (1, "size", "4 3/4"), (2, "size", "4 3/4"), (3, "size", "3 1/2")),
    *((1, "x", "9"), (1, "y", "14"), (2, "x", "9"), (2, "y", "14")),
    *((3, "x", "3 1/2"), (3, "y", "8 1/2"), (3, "sx", "7"), (3, "sy", "6")),
)
BELT, BLADE, HIGHEST = "A68", "21", "3600"


@dataclass(slots=True)
class Thumb:
    """What was done so far, counted."""

    page: Page
    taps: int = 0
    keys: int = 0
    screens: int = 0

    def tap(self, what: Locator) -> None:
        """One tap."""
        what.tap()
        self.taps += 1

    def type(self, what: Locator, text: str) -> None:
        """A tap into a box, and every key of what goes into it."""
        what.tap()
        what.fill(text)
        self.taps += 1
        self.keys += len(text)

    def choose(self, what: Locator, value: str) -> None:
        """A list opened, and one of its lines tapped."""
        what.select_option(value)
        self.taps += 2

    def arrived(self) -> None:
        """Another page."""
        self.page.wait_for_load_state("domcontentloaded")
        self.screens += 1

    @property
    def seconds(self) -> float:
        return self.taps * TAP_S + self.keys * KEY_S


def twin_spindle(page: Page) -> Thumb:
    """The task from the list of jobs to the PDF of the parts, on whatever bench the page is at."""
    thumb = Thumb(page)
    page.goto("/jobs/")
    thumb.tap(page.get_by_role("link", name="New job").first)
    thumb.arrived()
    thumb.tap(page.locator("a[href$='/jobs/new/deck/']"))
    thumb.arrived()
    thumb.choose(page.locator("[name=clutch]"), "by hand")
    thumb.type(page.locator("[name=blade]"), BLADE)
    thumb.type(page.locator("[name=rated_max]"), HIGHEST)
    thumb.type(page.locator("[name=belt]"), BELT)
    for at in (0, 3, 1, 2):
        grip = page.locator(f".deck-grip[data-at='{at}'][data-place=at]")
        grip.scroll_into_view_if_needed()
        thumb.tap(grip)
        expect(page.locator(f"[name=w{at}_order]")).not_to_have_value("")
    for at, box, size in SIZES:
        thumb.type(page.locator(f"[name=w{at}_{box}]"), size)
    thumb.tap(page.locator("#deck .buttons button").last)
    page.wait_for_url("**/window/**")
    thumb.arrived()
    expect(page.locator("[data-ceiling]").first).to_be_visible()
    thumb.tap(page.locator("a[href$='/drive/']").first)
    thumb.arrived()
    parts = page.locator("a[href*='parts.pdf']").first
    expect(parts).to_be_visible()
    reply = page.request.get(parts.get_attribute("href") or "")
    thumb.taps += 1
    assert reply.body().startswith(b"%PDF"), reply.status
    return thumb


def main(address: str) -> None:
    """Do it once and say what it took."""
    with sync_playwright() as player:
        browser = player.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox", "--disable-gpu"])
        context = browser.new_context(base_url=address, viewport=PHONE, has_touch=True, is_mobile=True)
        thumb = twin_spindle(context.new_page())
        browser.close()
    print(f"twin spindle with idler: {thumb.seconds:.0f} s of {MOST_S:.0f}")
    print(f"  {thumb.taps} taps, {thumb.keys} keys, {thumb.screens} screens")
    if thumb.seconds > MOST_S:
        raise SystemExit(1)


if __name__ == "__main__":
    main(sys.argv[1])
