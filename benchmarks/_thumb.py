"""A hand on the bench's pages: it finds things by the names a person reads, and counts what it costs to work them.

A tap is one; a list that opens costs two; each character typed is one key. By keyboard every press of a key is one, and
there are no taps. Nothing is typed into the address bar but the first page.
"""

import os
import re
import socket
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache
from gettext import GNUTranslations
from pathlib import Path

from playwright.sync_api import Browser, Locator, Page, sync_playwright

from snath.words.tables import table

CHROMIUM = os.environ.get("SNATH_CHROMIUM", "/usr/bin/chromium")
ARGUMENTS = ["--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-component-update"]
PHONE = {"width": 390, "height": 844}
WAIT_MS, SETTLE_MS = 20_000, 200
TAP_S, KEY_S = 1.5, 0.4
MOST_STOPS = 400
SOURCE = Path(__file__).parents[1] / "src/snath"
CATALOGUE = SOURCE / "shop/bench/locale/de/LC_MESSAGES/django.mo"
BOXES = (
    "input:not([type=hidden]):not([type=radio]):not([type=checkbox]), select, textarea, [role=radiogroup],"
    " input[type=checkbox]"
)


@dataclass(slots=True)
class Cost:
    """What a task took."""

    taps: int = 0
    keys: int = 0
    screens: int = 0
    boxes: int = 0

    @property
    def seconds(self) -> float:
        """By a tap and a key alone; nobody's reading is counted."""
        return TAP_S * self.taps + KEY_S * self.keys


class Hand:
    """A thumb, or ten fingers without a mouse, on one page."""

    def __init__(self, page: Page, *, language: str = "en", keyboard: bool = False) -> None:
        self.page, self.language, self.keyboard = page, language, keyboard
        self.cost = Cost()
        self._words = None
        if language == "de":
            with CATALOGUE.open("rb") as file:
                self._words = GNUTranslations(file)
        page.set_default_timeout(WAIT_MS)
        page.on("framenavigated", lambda frame: self._arrived() if frame == page.main_frame else None)

    def _arrived(self) -> None:
        self.cost.screens += 1

    def begin(self) -> None:
        """Count anew."""
        self.cost = Cost()

    def word(self, english: str) -> str:
        """A name, or how it begins, in the page's language."""
        if self._words is None:
            return english
        known = self._words._catalog | _facts()  # type: ignore[attr-defined]
        begun = [word for word in known if isinstance(word, str) and word.startswith(english)]
        whole = english if english in known else min(begun, key=len, default=english)
        return str(known.get(whole, english)).partition("%")[0]

    def inches(self, figure: str) -> str:
        """A length in inches as it must be typed here: a German page counts bare figures in millimetres."""
        return figure if self.language == "en" else f"{figure} in"

    def press(self, name: str, *, at: int = 0) -> None:
        """A button or link of that name."""
        self._press(self._named(("button", "link"), name, at))

    def tick(self, name: str) -> None:
        """A box to tick, or one of several to choose."""
        one = self._named(("checkbox", "radio"), name, 0)
        if one.is_checked():
            return
        if self.keyboard and one.get_attribute("type") == "radio":
            self._to_radio(one)
        elif self.keyboard:
            self._to(one)
            self._key("Space")
        else:
            one.click()
            self.cost.taps += 1

    def type(self, name: str, text: str, *, at: int = 0) -> None:
        """A text into the box of that name; `at` says which of several."""
        box = self._named(
            ("textbox", "spinbutton", "searchbox", "combobox"), name, at
        )  # one with names offered is the last
        if self.keyboard:
            self._to(box)
        else:
            box.click()
            self.cost.taps += 1
        self.page.keyboard.type(text)
        self.cost.keys += len(text)

    def give(self, name: str, file: Path) -> None:
        """A file to the button of that name; picking it in the phone's own list is counted as two taps."""
        self.page.get_by_label(self.word(name)).set_input_files(file)
        self.cost.taps += 3

    def choose(self, name: str, option: str) -> None:
        """One of a list: two taps, or its first letters by keyboard."""
        box = self._named(("combobox",), name, 0)
        if self.keyboard:
            self._to(box)
            self.page.keyboard.type(self.word(option))
            self.cost.keys += len(option)
        else:
            held = box.locator("option").filter(has_text=re.compile("^" + re.escape(self.word(option))))
            box.select_option(value=held.first.get_attribute("value"))
            self.cost.taps += 2
        self.page.wait_for_timeout(SETTLE_MS)
        self.page.wait_for_load_state("networkidle")

    def open(self, name: str) -> None:
        """Something folded, by its heading."""
        self._press(self.page.locator("summary").filter(has_text=self.word(name)).first)

    def see(self, selector: str) -> str:
        """What stands there, once it does."""
        one = self.page.locator(selector).first
        one.wait_for(state="attached")
        return one.inner_text()

    def look(self) -> None:
        """Count the boxes that show on this page."""
        self.cost.boxes += sum(one.is_visible() for one in self.page.locator(f"main :is({BOXES})").all())

    def printed(self, name: str) -> bytes:
        """What opens behind a link of that name."""
        link = self._named(("link",), name, 0)
        self.cost.keys += self.keyboard
        self.cost.taps += not self.keyboard
        reply = self.page.request.get(
            self.page.url.split("/", 3)[0]
            + "//"
            + self.page.url.split("/", 3)[2]
            + (link.get_attribute("href") or "")
        )
        return reply.body() if reply.ok else b""

    def _named(self, roles: tuple[str, ...], name: str, at: int) -> Locator:
        """The element of one of these roles whose name begins with these words and that can be seen."""
        said = re.compile("^\\s*" + re.escape(self.word(name)).replace("/", "\\/"), re.I)
        several = self.page.get_by_role(roles[0], name=said)  # type: ignore[arg-type]
        for role in roles[1:]:
            several = several.or_(self.page.get_by_role(role, name=said))  # type: ignore[arg-type]
        several.nth(at).wait_for(state="visible")
        return several.nth(at)

    def _press(self, one: Locator) -> None:
        if self.keyboard:
            self._to(one)
            self._key("Enter")
        else:
            one.click()
            self.cost.taps += 1
        self.page.wait_for_timeout(SETTLE_MS)  # a key returns before its page has begun to load
        self.page.wait_for_load_state()

    def _key(self, key: str) -> None:
        self.page.keyboard.press(key)
        self.cost.keys += 1

    def _to(self, one: Locator) -> None:
        """On with the tabulator until the focus is there."""
        for _ in range(MOST_STOPS):
            if one.evaluate("e => e === document.activeElement"):
                return
            self._key("Tab")
        raise AssertionError(f"out of the keyboard's reach: {one}")

    def _to_radio(self, one: Locator) -> None:
        group = one.get_attribute("name")
        for _ in range(MOST_STOPS):
            if self.page.evaluate("n => document.activeElement.name === n", group):
                break
            self._key("Tab")
        for _ in range(40):
            if one.evaluate("e => e === document.activeElement"):
                if not one.is_checked():
                    self._key("Space")
                return
            self._key("ArrowDown")
        raise AssertionError(f"out of the keyboard's reach: {one}")


@cache
def _facts() -> dict[str, str]:
    """What the core's own tables of words call things, English to German."""
    names = [path.stem for path in (SOURCE / "words/en").glob("*.toml")]
    pairs = ((table("en", name), table("de", name)) for name in names)
    return {english: german[key] for here, german in pairs for key, english in here.items() if key in german}


@contextmanager
def empty_shop() -> Iterator[str]:
    """The address of a bench on a new, empty folder."""
    with socket.socket() as door:
        door.bind(("127.0.0.1", 0))
        port = int(door.getsockname()[1])
    with tempfile.TemporaryDirectory() as folder:
        log = (Path(folder) / "server.log").open("wb")
        command = [sys.executable, "-m", "snath", "serve", "--port", str(port), "--data", f"{folder}/data"]
        inherited = {k: v for k, v in os.environ.items() if not k.startswith(("SNATH_", "DJANGO_"))}
        server = subprocess.Popen(command, stdout=log, stderr=log, env={**inherited, "OMP_NUM_THREADS": "1"})
        try:
            for _ in range(240):
                if server.poll() is not None or _answers(port):
                    break
                time.sleep(0.25)
            yield f"http://localhost:{port}"
        finally:
            server.terminate()
            server.wait(20)
            log.close()


def _answers(port: int) -> bool:
    try:
        with urllib.request.urlopen(f"http://localhost:{port}/", timeout=5) as reply:
            return bool(reply.status == 200)
    except (urllib.error.URLError, ConnectionError, TimeoutError):
        return False


@contextmanager
def browser() -> Iterator[Browser]:
    """Chromium without a window."""
    with sync_playwright() as play:
        one = play.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        try:
            yield one
        finally:
            one.close()
