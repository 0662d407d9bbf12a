"""Does a film or a log of pulses end in a verdict, or in a next step one would take, from the upload on?

    python -m benchmarks by_film

Chromium at 390 x 844 on a new and empty shop: a mower whose marked pulley was filmed in slow motion by daylight, the
same under lamps on the mains, and one with a pick-up at two odd marks. Each is given first as somebody in a hurry
would give it, without the number of marks, then as the page asks; then its next step is taken, which is to read the
tachometer beside it. out/by_film keeps a picture of each page.
"""

import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from benchmarks import _film_disc
from benchmarks._thumb import PHONE, Hand, browser, empty_shop
from benchmarks.afternoon import NEXT_STEP, TICKS, kept, machine, new_shop, push
from benchmarks.kept import ROOT, table
from benchmarks.simulator.edges import PickUp, edges
from benchmarks.simulator.ride import ride

PICTURES = ROOT / "out/by_film"
SEED = 180
TRUE = 51.3  # rev/s: 3,078 rpm
LAMP = 120.0  # Hz, twice a mains of 60 Hz
LONGEST_MS = 180_000
Made = Callable[[np.random.Generator], bytes]


@dataclass(frozen=True, slots=True)
class Taken:
    """One recording: what it is, its file, how it is made, and what the page asks of it."""

    name: str
    file: str
    made: Made
    marks: str
    filmed_at: str = ""


def slow_motion(lamp_depth: float) -> Made:
    """A pulley with one mark at 240 pictures a second, stamped to play at 30 as phones do."""

    def made(generator: np.random.Generator) -> bytes:
        scene = {
            "rate": 240.0,
            "play_rate": 30.0,
            "seconds": 4.0,
            "rev_s": TRUE,
            "marks": 1,
            "stamps": "even",
            "jitter_s": 0.0,
            "readout_s": 0.003,
            "exposure_s": 0.0005,
            "noise": 4.0,
            "contrast": 110.0,
            "quality": 24,
            "profile": "steady",
            "lamp_hz": LAMP,
            "lamp_depth": lamp_depth,
            "shake": 0.0,
            "shake_hz": (0.5, 9.0),
            "pumping": 0.0,
            "pumping_hz": 1.0,
        }
        stamps, pictures, *_ = _film_disc.render(scene, generator)
        return _film_disc.coded(scene, stamps, pictures, generator)

    return made


def two_odd_marks(generator: np.random.Generator) -> bytes:
    """The second a tenth of a turn after the first; one pulse in a hundred is missed."""
    going = ride("steady", rev_s=TRUE, seconds=13.0, cycle_turns=2, jitter=0.004, generator=generator)
    pick_up = PickUp(places=(0.0, 0.1), missed=0.01, noise_s=2e-5)
    moments = edges(going, pick_up, seconds=12.0, generator=generator)
    return "".join(f"{moment:.6f}\n" for moment in moments).encode()


RECORDINGS = (
    Taken("film by daylight", "day.mp4", slow_motion(0.0), "1", "240"),
    Taken("film under lamps", "lamps.mp4", slow_motion(0.6), "1", "240"),
    Taken("pick-up, two odd marks", "pickup.csv", two_odd_marks, "2"),
)


def main() -> None:
    """Do all three on one phone and print how each ended."""
    lines = []
    with empty_shop() as address, browser() as chromium, tempfile.TemporaryDirectory() as folder:
        context = chromium.new_context(base_url=address, viewport=PHONE, locale="en-US", has_touch=True)
        hand = new_shop(Hand(context.new_page()))
        for number, taken in enumerate(RECORDINGS):
            file = Path(folder) / taken.file
            file.write_bytes(taken.made(np.random.default_rng((SEED, number))))
            lines.append((taken.name, *_done(hand, taken, file, PICTURES / f"{number + 1}")))
        context.close()
    print(f"The truth: {TRUE * 60:.0f} rpm.")
    table(
        ("recording", "in a hurry", "told", "next step", "once it is taken", "PDF"), lines, "By film and log"
    )


def _done(hand: Hand, taken: Taken, file: Path, picture: Path) -> tuple[str, ...]:
    said: list[str] = []
    try:
        machine(hand, "walk-behind rotary mower", taken.name, push)
        hand.press("Work it out")
        for told in (False, True):
            _heard(hand, taken, file, told=told)
            kept(hand, picture, "told" if told else "hurry")
            said.append(_stands(hand))
        said.append(" / ".join(hand.page.locator(NEXT_STEP).all_inner_texts()))
        hand.press("Read again")
        for tick in TICKS:
            hand.tick(tick)
        for box in ("First reading", "Second", "Third"):
            hand.type(box, f"{TRUE * 60:.0f}")
        hand.press("Judge it")
        kept(hand, picture, "verdict")
        said.append(_stands(hand))
        hand.press("To the sheet")
        said.append(str(hand.printed("Open the PDF").startswith(b"%PDF")))
    except Exception as fault:  # a recording that cannot be finished is a row of the table
        said.append("NOT DONE: " + " ".join(str(fault).split())[:120])
        kept(hand, picture, "stuck")
    return (*said, *[""] * (5 - len(said)))


def _heard(hand: Hand, taken: Taken, file: Path, *, told: bool) -> None:
    """Give the file to the job's page for clips, and have it judged."""
    hand.press("Read again" if told else "Take a reading")
    hand.press("Listen with the microphone")
    hand.give("Clip from the phone", file)
    if told:
        hand.open("If it is a film or a list of pulses")
        hand.type("Film or pulses: marks", taken.marks)
        if taken.filmed_at:
            hand.type("Slow motion", taken.filmed_at)
    for tick in TICKS:
        hand.tick(tick)
    hand.press("Keep it and judge it")
    hand.page.wait_for_url(
        "**/verdict/", timeout=LONGEST_MS
    )  # it stands in line, and the page looks again by itself


def _stands(hand: Hand) -> str:
    """The word of the job, and what its last reading shows."""
    word = hand.page.locator("[data-word]").first.get_attribute("data-word")
    return f"{word}; {hand.page.locator('.history li strong').last.inner_text()}"


if __name__ == "__main__":
    main()
