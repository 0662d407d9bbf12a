"""Does each of five phone clips, given by thumb to a job, end in the right number or in the right next step?

    python -m benchmarks phone_clips

Chromium at 390 x 844 on a new and empty shop, by the names a person reads. The clips are of families of engines the
reader was not fitted to; truth is the turns their crankshaft made. out/phone_clips keeps a picture of each end.
"""

import wave
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from benchmarks._thumb import PHONE, Hand, browser, empty_shop
from benchmarks.afternoon import new_shop
from benchmarks.engines.case import Beside, Case, Clip, Course, Cycles, Engine, Part, Phone
from benchmarks.engines.render import FAMILIES, clip_of
from benchmarks.kept import ROOT, table

PICTURES = ROOT / "out/phone_clips"
NEAR = 0.01  # of the turns made, within which a number is right
TAPS_TO_PICK = 3  # the box, the phone's own folder, the clip

MOWER = Engine("four-stroke single", 4, (0.0,), 1700 / 60, 3100 / 60)
SAW = Engine("two-stroke single, handheld", 2, (0.0,), 2800 / 60, 9000 / 60)
PLAIN = Case(
    number=0,
    seed=(20261130, 7),
    engine=MOWER,
    course=Course("held", 3040 / 60, 6.0),
    cycles=Cycles(jitter=0.004, scatter=0.1),
    part=Part(ratio=1.0, nominal=1.0, tips=2, db=-8.0),
    beside=None,
    outlet="muffler",
    room="open",
    snr_db=15.0,
    wind_db=None,
    speech_db=None,
    hum_db=None,
    phone=Phone(
        high_pass=100.0, telephone=False, agc=False, clipped=False, clock=2e-5, rate=44_100, codec="none"
    ),
)


@dataclass(frozen=True, slots=True)
class Given:
    """One clip, the machine it is of, and what would be right at its end.

    Attributes
    ----------
    name : str
        What it is of.
    case : Case
        The recording.
    number : bool
        Whether its one speed is right.
    steps : tuple of str
        Otherwise, words of which the page must hold one.
    """

    name: str
    case: Case
    number: bool = True
    steps: tuple[str, ...] = ()


ALONE = ("no other engine",)
HELD = ("5 s", "stretch", "steady", "lowest", "hold")
CLIPS = (
    Given("push mower alone", PLAIN),
    Given("beside a second mower", replace(PLAIN, beside=Beside(MOWER, 2780 / 60, -4.0)), True, ALONE),
    Given(
        "throttled only",
        replace(
            PLAIN,
            course=Course(
                "throttled", 3040 / 60, 8.0, tempo=0.5, at_s=4.0, target=1750 / 60, quieter_db=12.0
            ),
        ),
        False,
        HELD,
    ),
    Given(
        "hunting",
        replace(PLAIN, course=Course("hunting", 3040 / 60, 7.0, amount=0.05, tempo=1.5)),
        True,
        HELD,
    ),
    Given(
        "two-stroke",
        replace(
            PLAIN,
            engine=SAW,
            course=Course("held", 8800 / 60, 6.0),
            part=None,
            cycles=Cycles(jitter=0.004, scatter=0.1, alternating=0.25),
        ),
        True,
        ("plug", "tachometer", "idle", "alone", "closer"),
    ),
)


def main() -> None:
    """Do all five on one phone, family by family, and print how each ended."""
    lines = []
    PICTURES.mkdir(parents=True, exist_ok=True)
    with empty_shop() as address, browser() as chromium:
        context = chromium.new_context(base_url=address, viewport=PHONE, locale="en-US", has_touch=True)
        hand = new_shop(Hand(context.new_page()))
        for family in FAMILIES:
            for number, given in enumerate(CLIPS):
                clip = clip_of(family, given.case)
                hand.begin()
                lines.append(
                    (family, given.name, *_done(hand, given, clip, PICTURES / f"{family}-{number + 1}"))
                )
        context.close()
    table(("family", "clip", "it made", "it says", "then", "right", "taps"), lines, "Five clips by thumb")


def _done(hand: Hand, given: Given, clip: Clip, picture: Path) -> tuple[str, ...]:
    until = min(clip.seconds, given.case.course.at_s)
    made = 60 * clip.speed_over(0.0, until)
    shown, then, right = "", "", "NOT DONE"
    try:
        _to_the_clip(hand, given)
        _give(hand, clip, picture.with_suffix(".wav"))
        shown, then = _said(hand)
        told = float(shown or "nan")
        near = abs(told / made - 1) <= NEAR
        stepped = any(word in then.lower() for word in given.steps)
        right = "yes" if (given.number and near) or (np.isnan(told) and stepped) else "NO"
    except Exception as fault:  # a clip that cannot be finished is a row of the table
        then = " ".join(str(fault).split())[:160]
    hand.page.screenshot(path=picture.with_suffix(".png"), full_page=True)
    return f"{made:.0f}", shown, then[:160], right, str(hand.cost.taps)


def _to_the_clip(hand: Hand, given: Given) -> None:
    """A new machine of that engine, as far as the page that takes clips."""
    engine, handheld = given.case.engine, given.case.part is None
    hand.press("Jobs")
    hand.press("New job")
    hand.press("A new machine")
    hand.choose("Kind", "brush cutter" if handheld else "walk-behind rotary mower")
    hand.type("Machine", given.name)
    if handheld:
        hand.choose("Clutch", "centrifugal")
    hand.open("More about the engine")
    hand.type("Strokes", str(engine.strokes))
    hand.type("Cylinders", "1")
    hand.type("Idle speed", f"{60 * engine.idle:.0f}")
    size = "5" if handheld else "10 1/2"
    hand.type("Middle of bore", size)
    hand.type("The same, other end", size)
    if handheld:
        hand.open("What it is, and what is marked on it")
        hand.type("Highest speed marked on it", "10000")
    hand.press("Work it out")
    hand.press("Take a reading")
    hand.press("Listen with the microphone")


def _give(hand: Hand, clip: Clip, path: Path) -> None:
    """The clip, as a phone keeps one, with what must be ticked beside it."""
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(round(clip.rate))
        file.writeframes((np.clip(clip.samples, -1, 1) * 32767).astype("<i2").tobytes())
    hand.page.locator("[name=clip]").set_input_files(path)
    hand.cost.taps += TAPS_TO_PICK
    for tick in ("Looked at before it ran", "Engine warm", "Choke off", "Throttle on its stop"):
        hand.tick(tick)
    if hand.page.get_by_label("blades in air").count():
        hand.tick("blades in air")
    hand.press("Keep it and judge it")


def _said(hand: Hand) -> tuple[str, str]:
    """The speed that was kept in rpm, empty where none was, and what the page says to do."""
    hand.see("[data-word], .told.warning")
    had = hand.page.locator("[data-reading]")
    shown = (had.first.get_attribute("data-reading") or "") if had.count() else ""
    steps = hand.page.locator("[data-settle] li, .told.warning").all_inner_texts()
    return shown.replace(",", ""), " / ".join(" ".join(step.split()) for step in steps)


if __name__ == "__main__":
    main()
