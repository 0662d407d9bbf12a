"""Does each of six machines of one afternoon end in a pass, or in a next step one would take?

    python -m benchmarks afternoon

Chromium at 390 x 844 on a new and empty shop with one optical tachometer nobody knows, by the names a person
reads, from the list of jobs to the verdict and its papers. out/afternoon keeps a picture of each.
"""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from benchmarks._thumb import PHONE, Hand, browser, empty_shop
from benchmarks.kept import ROOT, table

NEXT_STEP = "[data-settle] li"
TICKS = ("Looked at before it ran", "Engine warm", "Choke off", "Throttle on its stop")
PICTURES = ROOT / "out/afternoon"


@dataclass(frozen=True, slots=True)
class Bench:
    """One machine of the afternoon: its kind, what is typed of it, and what the tachometer shows."""

    name: str
    kind: str
    size: Callable[[Hand], None]
    shown: str
    condition: str = ""  # where two conditions are possible, the one it was read in must be said


def push(hand: Hand) -> None:
    """Two arms of 10 1/2 in, straight on the crankshaft."""
    hand.type("Middle of bore", "10 1/2")
    hand.type("The same, other end", "10 1/2")


def rider(hand: Hand) -> None:
    """One blade behind a belt, put in by hand."""
    hand.choose("Clutch", "by hand or switch")
    _belt(hand, "5", "4 1/2", flush=True)
    push(hand)
    hand.choose("It sits on", "spindle 1")


def deck(hand: Hand) -> None:
    """Three spindles behind one engine sheave, and nobody looked how worn the grooves are."""
    hand.choose("Clutch", "by hand or switch")
    _belt(hand, "5", "5", flush=False)
    hand.type("Middle of bore", "8 1/4")
    hand.type("The same, other end", "8 1/4")
    hand.choose("It sits on", "spindle 1")
    hand.press("One more spindle")
    hand.press("One more spindle")


def generator(hand: Hand) -> None:
    """Two poles; 63 Hz on its plate."""
    hand.type("Poles", "2")
    hand.type("Highest frequency, no load", "63 Hz")
    hand.type("Lowest frequency, loaded", "58 Hz")


def brush_cutter(hand: Hand) -> None:
    """A blade marked 9,000, straight on its shaft, thrown in by speed."""
    hand.choose("Clutch", "centrifugal")
    hand.type("Middle of bore", "5")
    hand.type("The same, other end", "5")
    hand.open("What it is, and what is marked on it")
    hand.type("Highest speed marked on it", "9000")


def chipper(hand: Hand) -> None:
    """A knife disc marked 3,600."""
    hand.type("Highest speed marked on it", "3600")


def _belt(hand: Hand, driving: str, driven: str, *, flush: bool) -> None:
    hand.press("Add a driven shaft")
    hand.choose("Belt section", "A")
    hand.type("Driving pulley, outside", driving)
    hand.type("Driven pulley, outside", driven)
    if flush:
        hand.press("I looked: every belt lies flush")


AFTERNOON = (
    Bench("push mower", "walk-behind rotary mower", push, "3100"),
    Bench("rider with a clutch", "ride-on rotary mower", rider, "2800", "blades in air"),
    Bench(
        "three-spindle deck, nobody looked at the grooves",
        "ride-on rotary mower",
        deck,
        "3450",
        "blades in air",
    ),
    Bench("generator", "generator", generator, "3720"),
    Bench("brush cutter", "brush cutter", brush_cutter, "8400"),
    Bench("chipper", "chipper", chipper, "3400"),
)


def main() -> None:
    """Do all six on one phone and print how each ended."""
    lines = []
    with empty_shop() as address, browser() as chromium:
        context = chromium.new_context(base_url=address, viewport=PHONE, locale="en-US", has_touch=True)
        hand = new_shop(Hand(context.new_page()))
        for number, bench in enumerate(AFTERNOON):
            hand.begin()
            lines.append((bench.name, *_done(hand, bench, PICTURES / f"{number + 1}")))
        context.close()
    table(("machine", "word", "next step", "papers", "seconds", "taps", "keys"), lines, "An afternoon")


def new_shop(hand: Hand) -> Hand:
    """The same hand, once the shop has a name, a market and one optical tachometer."""
    hand.page.goto("/")
    hand.press("Set up this shop")
    hand.type("The shop's name", "Example Mowers")
    hand.tick("United States")
    hand.tick("optical, with a mark")
    hand.press("Keep and go on")
    return hand


def machine(hand: Hand, kind: str, name: str, size: Callable[[Hand], None]) -> None:
    """The page of a new job's machine, filled in."""
    hand.press("Jobs")
    hand.press("New job")
    hand.press("A new machine")
    hand.choose("Kind", kind)
    hand.type("Machine", name)
    size(hand)


def _done(hand: Hand, bench: Bench, picture: Path) -> tuple[str, ...]:
    page, word, steps, papers = hand.page, "", "", 0
    try:
        machine(hand, bench.kind, bench.name, bench.size)
        kept(hand, picture, "machine")
        hand.press("Work it out")
        kept(hand, picture, "allowed")
        hand.press("Take a reading")
        for tick in TICKS:
            hand.tick(tick)
        if bench.condition:
            hand.tick(bench.condition)
        for box in ("First reading", "Second", "Third"):
            hand.type(box, bench.shown)
        hand.press("Judge it")
        word = page.locator("[data-word]").first.get_attribute("data-word") or ""
        steps = " / ".join(page.locator(NEXT_STEP).all_inner_texts())
        kept(hand, picture, "verdict")
        hand.press("To the sheet")
        for paper in ("Open the PDF", "Tag for the machine", "Letter to the customer"):
            printed = hand.printed(paper)
            papers += printed.startswith(b"%PDF")
            picture.with_name(f"{picture.name}-{paper.split()[0].lower()}.pdf").write_bytes(printed)
    except Exception as fault:  # a machine that cannot be finished is a row of the table
        steps = "NOT DONE: " + " ".join(str(fault).split())[:120]
        kept(hand, picture, "stuck")
    return word, steps, str(papers), f"{hand.cost.seconds:.0f}", str(hand.cost.taps), str(hand.cost.keys)


def kept(hand: Hand, picture: Path, name: str) -> None:
    picture.parent.mkdir(parents=True, exist_ok=True)
    hand.page.evaluate("document.activeElement.blur()")  # a held box would be scrolled to under the next tap
    hand.page.screenshot(path=picture.with_name(f"{picture.name}-{name}.png"), full_page=True)


if __name__ == "__main__":
    main()
