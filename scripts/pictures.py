"""Make the pictures of README and manual again: the bench on a phone, a job sheet. `make pictures` calls this."""

import json
import os
import socket
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from PIL import Image
from playwright.sync_api import sync_playwright

ROOT = Path(__file__).parents[1]
PICTURES = ROOT / "docs" / "pictures"
PHONE = {"width": 390, "height": 844}
COLOURS = 64  # of a palette: letters stay sharp, and a picture stays small
JOB = "examples/jobs/walk_behind_left_at_3600.toml"
CHROMIUM = os.environ.get("SNATH_CHROMIUM", "/usr/bin/chromium")
SNATH = Path(sys.executable).with_name("snath")


@contextmanager
def bench(folder: Path) -> Iterator[str]:
    """Address of a bench with the invented shop in it."""
    with socket.socket() as door:
        door.bind(("127.0.0.1", 0))
        port = door.getsockname()[1]
    command = [SNATH, "serve", "--demo", "--port", str(port), "--data", str(folder / "data")]
    server = subprocess.Popen(command, stdout=subprocess.DEVNULL)
    address = f"http://localhost:{port}"
    try:
        for _ in range(240):
            try:
                urllib.request.urlopen(address, timeout=5).close()
                break
            except (urllib.error.URLError, ConnectionError, TimeoutError):
                time.sleep(0.25)
        yield address
    finally:
        server.terminate()
        server.wait(20)


def phone(folder: Path) -> None:
    """The first page with a 22 in blade typed into it, as a phone shows it."""
    with bench(folder) as address, sync_playwright() as play:
        browser = play.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox", "--disable-gpu"])
        page = browser.new_page(viewport=PHONE, device_scale_factor=1.5)
        page.goto(address)
        page.get_by_label("Blade").first.fill("22 in")
        page.get_by_text("3,298").first.wait_for()
        page.screenshot(path=folder / "phone.png")
        browser.close()
    kept(folder / "phone.png", PICTURES / "phone.png")


def sheet(folder: Path) -> None:
    """The first page of a job sheet."""
    pdf = folder / "sheet.pdf"
    done = subprocess.run(
        [SNATH, "job", JOB, "--pdf", pdf, "--json"], cwd=ROOT, capture_output=True, check=False
    )
    json.loads(done.stdout)  # a fault of the job would be told here
    command = ["pdftoppm", "-r", "80", "-f", "1", "-l", "1", "-singlefile", "-png", pdf, folder / "sheet"]
    subprocess.run(command, check=True)
    kept(folder / "sheet.png", PICTURES / "job_sheet.png")


def kept(made: Path, place: Path) -> None:
    """The picture with a small palette, in its place."""
    place.parent.mkdir(exist_ok=True)
    Image.open(made).convert("RGB").quantize(COLOURS, dither=Image.Dither.NONE).save(place, optimize=True)
    print(f"{place.relative_to(ROOT)}: {place.stat().st_size // 1024} KB")


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as scratch:
        sheet(Path(scratch))
        phone(Path(scratch))
