"""Which pages are there? Every address of the table of who may do what, with real things in its places."""

import re
import tomllib
from pathlib import Path

from playwright.sync_api import Page

from tests.shop.site.addresses import address, names

TABLE = tomllib.loads((Path(__file__).parents[2] / "site" / "access.toml").read_text())
# Addresses that show no page of their own when asked for: files, steps on the way to a page, what takes entries only.
NOT_PAGES = {
    "attachment", "everything", "jobs-table", "trust-certificate", "logout", "bench:deck-live", "bench:draft",
    "bench:draft-drop",
    "bench:drive-paper", "bench:drive-pick", "bench:fleet-table",
    "bench:instrument-checks", "bench:instrument-labels", "bench:job",
    "bench:job-class", "bench:job-letter", "bench:job-pdf", "bench:job-sealed", "bench:job-tag", "bench:job-withdraw",
    "bench:part-count",
    "bench:in-line", "bench:letter-file", "bench:letter-link", "bench:manifest", "bench:piece", "bench:worker",
    "bench:yard-along", "bench:yard-taken",
    "bench:tag", "key-withdraw", "bench:version-drive", "bench:version-pdf", "health",
}  # fmt: skip
NOTHING_THERE = "/jobs/987654/"
# What a page shows that its bare address does not: an answer, a fault, nothing found, a choice of its own.
MORE = (
    "/?blade=22+in",
    "/?blade=22&engine_pulley=3+in",
    "/jobs/?q=orchard",
    "/jobs/?q=nothing+of+that+name",
    "/jobs/?waits=part",
    "/jobs/3/verdict/",
    "/jobs/6/verdict/",
    "/jobs/7/drive/",
    "/jobs/new/machine/?blade=22+in&engine_pulley=3+in&blade_pulley=3+in&section=A",
    "/teach/class-sheet/?number=7&count=3&answers=shown",
    "/teach/class-sheet/?number=many&count=3",
    NOTHING_THERE,
)
# Where a thing with a key of its own is listed, by the address that shows it.
KEPT_AT = {
    "bench:machine": "/shelf/machines/",
    "bench:again": "/shelf/machines/",
    "bench:customer": "/shelf/customers/",
    "customer-erase": "/shelf/customers/",
    "bench:part": "/shelf/stock/",
    "person": "/people/",
    "person-password": "/people/",
}
KEY = re.compile(r"[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}")


def every_page(page: Page) -> list[str]:
    """The address of every page, with the demo shop's things in its places; none can be left out by oversight."""
    assert set(names()) >= NOT_PAGES
    if not KEY.search(page.request.get("/people/").text()):
        _somebody_new(page)
    keys = {path: KEY.search(page.request.get(path).text()) for path in set(KEPT_AT.values())}
    found = []
    for name in names():
        key = keys.get(KEPT_AT.get(name, ""))
        found.append(address(name, number=4, **({"key": key.group()} if key else {})))
    return [path for name, path in zip(names(), found, strict=True) if name not in NOT_PAGES] + [*MORE]


def open_page(page: Page, path: str) -> None:
    """Go there, and be sure that a page is there."""
    answer = page.goto(path)
    assert answer is not None
    assert answer.status == (404 if path == NOTHING_THERE else 200) or "number=many" in path, (
        path,
        answer.status,
    )
    assert "text/html" in answer.headers["content-type"], path


def _somebody_new(page: Page) -> None:
    page.goto("/people/add/")
    page.get_by_label("Name", exact=True).fill("somebody at the desk")
    page.get_by_label("Mechanic", exact=False).check()
    for label in ("New password", "The same again"):
        page.get_by_label(label).fill("a dull blade and long grass")
    page.get_by_role("button", name="Keep").click()
