"""Live speed through a real browser's microphone, fed with our own simulated engine, whose speed is known."""

import io
import re
import wave
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
import pytest
from playwright.sync_api import Browser, Page, Playwright, expect

from benchmarks.simulator.engine import Scene, record
from tests.shop.bench.browser.conftest import ARGUMENTS, CHROMIUM, PHONE

pytestmark = pytest.mark.xdist_group("browser")

RATE = 44_100
TRUE_RPM = 3180.0
SECONDS = 20.0
TONES = (51.0, 1000.0)  # Hz; an engine's note, and one in a voice's range
LEVEL = 0.3
AS_VOICE = """
  const media = navigator.mediaDevices;
  const plain = media.getUserMedia.bind(media);
  const voice = { echoCancellation: true, noiseSuppression: true, autoGainControl: true };
  media.getUserMedia = () => plain({ audio: voice });
"""

Listening = Callable[..., Page]


def as_wav(samples: np.ndarray) -> bytes:
    out = io.BytesIO()
    with wave.open(out, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(RATE)
        file.writeframes((np.clip(samples, -1, 1) * 32767).astype("<i2").tobytes())
    return out.getvalue()


@pytest.fixture
def listening(playwright: Playwright, bench: str, tmp_path: Path) -> Iterator[Listening]:
    """Opens a page in a browser whose microphone plays a file."""
    browsers: list[Browser] = []

    def opened(samples: np.ndarray, path: str, *, script: str = "") -> Page:
        file = tmp_path / "microphone.wav"
        file.write_bytes(as_wav(samples))
        fed = [
            "--use-fake-device-for-media-stream",
            "--use-fake-ui-for-media-stream",
            f"--use-file-for-fake-audio-capture={file}",
        ]
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=[*ARGUMENTS, *fed])
        browsers.append(browser)
        context = browser.new_context(base_url=bench, viewport=PHONE, permissions=["microphone"])
        if script:
            context.add_init_script(script)
        page = context.new_page()
        page.goto(path)
        return page

    yield opened
    for browser in browsers:
        browser.close()


def engine() -> np.ndarray:
    scene = Scene(rev_s=TRUE_RPM / 60, seconds=SECONDS, snr_db=10.0, rate=float(RATE))
    return record(scene, np.random.default_rng(20_251_125)).samples * 0.8


def two_tones() -> np.ndarray:
    t = np.arange(int(SECONDS * RATE)) / RATE
    return sum(LEVEL * np.sin(2 * np.pi * tone * t) for tone in TONES)


def heard_levels(page: Page) -> list[float]:
    """Peak of each tone in what the page sends to the bench, by correlation over half a second."""
    pieces: list[bytes] = []
    page.on("request", lambda r: pieces.append(r.post_data_buffer or b"") if "/pieces/" in r.url else None)
    page.get_by_role("button", name="Listen", exact=True).click()
    while len(pieces) < 6:
        page.wait_for_timeout(200)
    page.get_by_role("button", name="Stop listening").click()
    heard = np.frombuffer(pieces[-1], dtype="<i2") / 32767
    rate = 2 * len(heard)
    t = np.arange(len(heard)) / rate
    return [float(2 * abs(np.mean(heard * np.exp(-2j * np.pi * tone * t)))) for tone in TONES]


def listened_and_kept(page: Page) -> str:
    """What stands on the job after listening to it once."""
    page.goto("/jobs/3/listen/")
    page.get_by_role("button", name="Listen", exact=True).click()
    figure = page.locator("[data-figure] .plate")
    expect(figure).to_have_attribute("data-decided", "yes")
    page.wait_for_timeout(5000)  # as long as the page asks one to hold a speed: what is kept must tell alone
    # The truth is the simulator's own setting, not our reading.
    assert float(figure.get_attribute("data-rpm") or 0) == pytest.approx(TRUE_RPM, rel=0.005)
    page.get_by_role("button", name="Stop listening").click()
    expect(page.get_by_text("What was heard is ready to be kept.")).to_be_visible()
    for label in ("Engine warm", "Choke off", "Throttle on its stop", "blades in air"):
        page.get_by_label(label).check()
    page.get_by_role("button", name="Keep it and judge it").click()
    expect(page).to_have_url(re.compile("/jobs/3/verdict/"))
    # From sound alone, never checked beside a tachometer in this shop: shown, and no pass.
    expect(page.locator(".rows .chip").last).to_have_text("undecided")
    return page.locator("[data-reading]").inner_text()


def test_live_speed_is_within_half_a_percent_of_the_simulated_engine(listening: Listening):
    page = listening(engine(), "/jobs/3/listen/")
    # One kept clip in nine runs of the suite told no speed: on a full machine, perhaps of sound that was lost, which
    # was not looked into. Such a clip is undecided, and one listens again as its page says.
    kept = next((text for _ in range(3) if "3,1" in (text := listened_and_kept(page))), "")
    assert "3,1" in kept


def test_the_page_switches_the_browsers_sound_processing_off(listening: Listening):
    levels = heard_levels(listening(two_tones(), "/measure/"))
    assert levels == pytest.approx([LEVEL, LEVEL], rel=0.05)


def test_with_the_processing_left_on_the_same_test_would_fail(listening: Listening):
    page = listening(two_tones(), "/measure/", script=AS_VOICE)
    levels = heard_levels(page)
    assert levels != pytest.approx([LEVEL, LEVEL], rel=0.05)
    expect(page.get_by_text("This device treats the sound as a voice")).to_be_visible()
