"""The yard: the network cut in the middle of a card and of a reading, the bench killed, the phone restarted."""

import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Page, Playwright, expect

from tests.shop.bench.browser.by_rules import rule_faults
from tests.shop.bench.browser.conftest import ARGUMENTS, CHROMIUM, PHONE, answers, free_port

pytestmark = pytest.mark.xdist_group("browser")


class Bench:
    """A bench of its own that can be killed and brought back."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.port = folder, free_port()
        self.address = f"http://localhost:{self.port}"
        self.server: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        snath = Path(sys.executable).with_name("snath")
        command = [str(snath), "serve", "--demo", "--port", str(self.port), "--data", str(self.folder)]
        plain = {k: v for k, v in os.environ.items() if not k.startswith(("SNATH_", "DJANGO_"))}
        with (self.folder.parent / "server.log").open("ab") as log:
            self.server = subprocess.Popen(
                command, stdout=log, stderr=log, env={**plain, "OMP_NUM_THREADS": "1"}, start_new_session=True
            )
        for _ in range(480):
            if self.server.poll() is not None or answers(self.address):
                break
            time.sleep(0.25)
        assert answers(self.address)

    def kill(self) -> None:
        assert self.server is not None
        os.killpg(self.server.pid, signal.SIGKILL)
        self.server.wait(120)


@pytest.fixture
def own_bench(tmp_path: Path) -> Iterator[Bench]:
    one = Bench(tmp_path / "data")
    one.start()
    yield one
    one.kill()


def phone(playwright: Playwright, folder: Path, bench: Bench) -> BrowserContext:
    """A phone with what was kept on it before."""
    return playwright.chromium.launch_persistent_context(
        str(folder),
        executable_path=CHROMIUM,
        args=ARGUMENTS,
        base_url=bench.address,
        viewport=PHONE,
        locale="en-US",
    )


def ready(page: Page) -> None:
    """The yard's page with its limits, answered by our own worker from now on."""
    page.goto("/yard/")
    expect(page.locator("[data-state]")).to_have_text("The bench answers.")
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    page.goto("/yard/")
    expect(page.locator("[data-jobs] li").first).to_be_visible()


def test_what_is_taken_down_without_the_bench_arrives_once_and_nothing_is_lost(
    playwright: Playwright, own_bench: Bench, tmp_path: Path
):
    folder = tmp_path / "phone"
    context = phone(playwright, folder, own_bench)
    page = context.pages[0]
    ready(page)
    page.locator("#y-blade").fill("22 in")  # in the middle of a card ...
    own_bench.kill()
    page.locator("#y-found").fill("3540")
    context.close()  # ... the bench is gone and the phone goes dark

    context = phone(playwright, folder, own_bench)
    page = context.pages[0]
    page.goto("/jobs/")  # any page: never the browser's own error page
    expect(page.get_by_role("heading", name="In the yard")).to_be_visible()
    expect(page.locator("[data-state]")).to_contain_text("does not answer")
    expect(page.locator("#y-blade")).to_have_value("22 in")
    expect(page.locator("#y-found")).to_have_value("3540")
    page.locator("form[data-kind=card] button").click()
    expect(page.locator("[data-entries] li")).to_have_count(1)

    job = page.locator("#y-job option").nth(1).get_attribute("value")
    page.locator("#y-job").select_option(job)
    page.locator("#y-speed-1").fill("3090")  # and in the middle of a reading
    page.goto("/yard/")
    expect(page.locator("#y-speed-1")).to_have_value("3090")
    page.locator("#y-job").select_option(job)
    page.locator("form[data-kind=reading] button").click()
    expect(page.locator("[data-entries] li")).to_have_count(2)
    limits = page.locator("[data-jobs]").inner_text()
    assert "not judged" in limits
    text = page.locator("#yard").inner_text().lower()
    assert "pass." not in text.replace("no pass, tag", "")
    context.close()

    own_bench.start()
    context = phone(playwright, folder, own_bench)
    page = context.pages[0]
    lost: list[str] = []

    def taken_but_unheard(route) -> None:  # the bench takes it, and its answer is lost on the way
        lost.append(route.request.url)
        route.fetch()
        route.abort()

    page.route("**/yard/taken/", taken_but_unheard, times=1)
    page.goto("/yard/")
    expect(page.locator("[data-state]")).to_contain_text("does not answer")
    page.goto("/yard/")
    expect(page.locator("[data-none]")).to_be_visible()
    assert lost
    page.goto("/yard/waiting/")
    expect(page.locator("main li .row")).to_have_count(2)  # each once
    expect(page.locator("main")).to_contain_text("22 in")
    page.locator("a[href*='/reading/?yard=']").click()
    expect(page.get_by_label("First reading, rpm")).to_have_value("3090")
    for tick in page.locator("[data-caution]").all():
        expect(tick).not_to_be_checked()
    context.close()


def test_a_form_that_cannot_be_sent_says_so_and_keeps_what_was_typed_but_no_tick_of_caution(
    playwright: Playwright, own_bench: Bench, tmp_path: Path
):
    context = phone(playwright, tmp_path / "phone", own_bench)
    page = context.pages[0]
    ready(page)
    page.goto("/jobs/5/reading/")
    page.get_by_label("First reading, rpm").fill("3090")
    page.locator("[name=warm]").check()
    own_bench.kill()
    page.locator("main form button").last.click()
    expect(page.get_by_role("heading", name="Not sent")).to_be_visible()
    own_bench.start()
    page.goto("/jobs/5/reading/")
    expect(page.get_by_label("First reading, rpm")).to_have_value("3090")
    expect(page.locator("[name=warm]")).not_to_be_checked()
    context.close()


def test_the_yards_pages_break_no_rule_of_access(quiet: Page):
    for path in ("/yard/", "/yard/waiting/", "/yard/unsent/"):
        quiet.goto(path)
        assert rule_faults(quiet) == [], path
    assert quiet.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
