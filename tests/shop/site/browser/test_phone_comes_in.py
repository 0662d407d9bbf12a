"""The owner at the desk lets a phone in over HTTPS, in two real browsers, and sends it away again."""

import hashlib
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.shop.bench.browser.by_keyboard import keyboard_faults
from tests.shop.bench.browser.by_rules import rule_faults
from tests.shop.site.test_serve import Serving, free_port

pytestmark = [pytest.mark.slow, pytest.mark.xdist_group("browser")]

PASSWORD = "long grass, dull blade"
TOKEN = "AAAABBBBCCCCDDDDEEEE11"
OWN_PAGES = (
    "/people/",
    "/people/add/",
    "/people/phone/",
    "/people/log/",
    "/people/me/",
    "/trust/",
    "/pair/",
    "/login/",
)


def opened(browser: Browser, address: str, complaints: list[str], **how) -> Page:
    # No worker: under a certificate that no authority signed none is kept, and browsers word that as they like.
    context = browser.new_context(
        base_url=address, ignore_https_errors=True, locale="en-US", service_workers="block", **how
    )
    page = context.new_page()
    page.set_default_timeout(15_000)
    page.on("pageerror", lambda fault: complaints.append(str(fault)))
    page.on("console", lambda line: complaints.append(line.text) if line.type == "error" else None)
    return page


def know_the_token(folder: Path) -> None:
    """The page shows it as a picture only: put one we know in the place of the real one."""
    with closing(sqlite3.connect(folder / "shop.sqlite3", timeout=20)) as base, base:
        changed = base.execute(
            "UPDATE records_pairing SET token_hash = ?", [hashlib.sha256(TOKEN.encode()).hexdigest()]
        )
        assert changed.rowcount == 1


def test_a_phone_is_paired_by_the_owner_works_and_is_sent_away(browser: Browser, tmp_path: Path):
    port, folder, complaints = free_port(), tmp_path / "shop", []
    words = [
        "--port",
        port,
        "--data",
        folder,
        "--demo",
        "--lan",
        "--name",
        "shop.local",
        "--address",
        "127.0.0.1",
    ]
    with Serving(*words, said=f"first owner\n{PASSWORD}\n{PASSWORD}\n") as served:
        served.wait_until_it_listens(port)
        address = f"https://127.0.0.1:{port}"
        desk = opened(browser, address, complaints, viewport={"width": 1280, "height": 900})
        phone = opened(browser, address, complaints, viewport={"width": 390, "height": 844}, has_touch=True)

        desk.goto("/people/")
        desk.get_by_label("Name", exact=True).fill("first owner")
        desk.get_by_label("Password", exact=True).fill(PASSWORD)
        desk.get_by_role("button", name="Log in").click()
        expect(desk.get_by_role("heading", level=1)).to_have_text("People and phones")

        desk.get_by_role("link", name="Pair a phone").click()
        desk.get_by_label("What the phone is called").fill("phone at the lift")
        desk.get_by_label("Mechanic", exact=False).check()
        desk.get_by_role("button", name="Show the code").click()
        expect(desk.get_by_role("img", name="Pairing code")).to_be_visible()
        desk.screenshot(path=tmp_path / "code.png")
        know_the_token(folder)

        phone.goto(f"/pair/#{TOKEN}")
        expect(phone.get_by_role("button", name="Pair this phone")).to_be_visible()
        assert TOKEN not in phone.url, "neither history nor a shared link keeps it"
        phone.get_by_role("button", name="Pair this phone").click()
        phone.wait_for_url(f"{address}/")
        phone.goto("/jobs/new/machine/")
        expect(phone.get_by_role("heading", level=1)).to_be_visible()
        assert phone.url.endswith("/jobs/new/machine/")
        phone.goto("/people/")
        expect(phone.get_by_role("heading", level=1)).to_have_text("Not allowed")

        desk.goto("/people/")
        desk.get_by_role("link", name="phone at the lift").click()
        desk.get_by_role("button", name="Send away").click()
        phone.goto("/jobs/")
        expect(phone.get_by_role("heading", level=1)).to_have_text("Log in")
        phone.goto(f"/pair/#{TOKEN}")
        phone.get_by_role("button", name="Pair this phone").click()
        expect(phone.get_by_role("alert")).to_contain_text("used already")

        # Refusals are answered 403, which browsers log. Nothing else may complain, the content policy least.
        assert [line for line in complaints if "403" not in line] == []
        assert faults_of_every_page(desk) == {}
        desk.context.close()
        phone.context.close()


def faults_of_every_page(page: Page) -> dict[str, list[str]]:
    """What the offline rules of access say, in light and dark, and a walk by keyboard."""
    found: dict[str, list[str]] = {}
    for path in OWN_PAGES:
        page.goto(path)
        if said := [*rule_faults(page), *keyboard_faults(page)]:
            found[path] = said
    return found
