"""How many taps, keys, screens and boxes does a working day's task take a newcomer on a phone?

    python -m benchmarks day

Chromium at 390 x 844 on a new and empty shop, each task by the names a person reads: once by thumb, once by keyboard
alone, once in German. Seconds are 1.5 s a tap and 0.4 s a key; nobody's reading is counted. `before` is what the same
counting gave by hand before the pages were turned round.
"""

from collections.abc import Callable
from dataclasses import dataclass

from benchmarks._thumb import PHONE, Cost, Hand, browser, empty_shop
from benchmarks._twin_spindle import twin_spindle
from benchmarks.kept import table

LIMIT_OF_22_IN = {".": "3,298", ",": "3.298"}  # by hand: 19,000 ft/min / (pi 22/12 ft) = 3298.8 rpm
WAYS = (("by thumb", "en", False), ("by keyboard", "en", True), ("auf Deutsch", "de", False))


@dataclass(frozen=True, slots=True)
class Task:
    """One row of the table: what is done, what it took before, and what it may take."""

    name: str
    work: Callable[[Hand], None]
    before: str
    most_s: float | None = None
    most_taps: int | None = None


def ask_bare(hand: Hand) -> None:
    """A bare 22 in a shop that counts in inches."""
    hand.press("Ask")
    hand.look()
    hand.type("Blade length", hand.inches("22"))
    found = hand.see("[data-ceiling]").split()[0]
    assert found in LIMIT_OF_22_IN.values(), found


def first_start(hand: Hand) -> None:
    """From nothing to a push mower's pass and papers, with the tachometer put on the shelf."""
    hand.press("Set up this shop")
    hand.look()
    hand.type("The shop's name", "Example Mowers")
    hand.tick("United States")
    hand.tick("optical, with a mark")
    hand.press("Keep and go on")
    hand.press("One-minute card")
    _card(hand, "21", "3540", "3100", "Example Farm")


def next_mower(hand: Hand) -> None:
    """The next one over the counter."""
    hand.press("Jobs")
    hand.press("One-minute card")
    _card(hand, "22", "3390", "3050", "Example School")


def _card(hand: Hand, blade: str, found: str, left: str, whose: str) -> None:
    hand.look()
    hand.type("Blade length", hand.inches(blade))
    hand.type("It ran at", found)
    hand.type("It runs at now", left)
    hand.type("Who does it belong to?", whose)
    hand.tick("Looked at before it ran")
    hand.tick("Engine warm, choke off")
    hand.press("Judge it")
    assert hand.page.locator("[data-word]").first.get_attribute("data-word") == "pass", hand.see("main")
    assert hand.printed("Open the sheet").startswith(b"%PDF")


def same_again(hand: Hand) -> None:
    """Last year's machine, to where its reading is typed."""
    hand.press("Jobs")
    hand.press("Same machine again")
    hand.press("All the same")
    hand.page.wait_for_url("**/reading/**")
    hand.look()


def withdrawn(hand: Hand) -> None:
    """A reading of the job at hand withdrawn, with its reason, and one taken again."""
    hand.press("Jobs")
    hand.press("1 ·", at=0)
    hand.begin()
    hand.look()
    hand.open("Withdraw")
    hand.press("misread or mistyped")
    hand.press("Repeat")
    hand.type("First reading", "3090")
    hand.press("Judge it")
    hand.see("[data-word]")


TASKS = (
    Task(
        "first start to a push mower's pass and papers, tachometer added",
        first_start,
        "330 s, two jobs",
        90,
        25,
    ),
    Task("the next push mower", next_mower, "100 s", 45, 14),
    Task("last year's machine again, to the reading", same_again, "-", None, 3),
    Task("a reading withdrawn, one repeated", withdrawn, "not possible", None, 6),
    Task('ask "22" in an inch shop', ask_bare, "refused"),
    Task("twin spindle with idler: window, other sheaves, parts list", twin_spindle, "not done", 300),
)


def main() -> None:
    """Do every task in every way and print what it took."""
    lines = []
    for way, language, keyboard in WAYS:
        for task, cost, trouble in _day(language, keyboard):
            lines.append(_line(way, task, cost, trouble, keyboard))
    head = ("way", "task", "before", "may take", "took", "taps", "keys", "screens", "boxes", "word")
    table(head, lines, "A day at the bench, from an empty shop, on a phone")


def _day(language: str, keyboard: bool) -> list[tuple[Task, Cost, str]]:
    done = []
    with empty_shop() as address, browser() as chromium:
        context = chromium.new_context(
            base_url=address, viewport=PHONE, locale="de-DE" if language == "de" else "en-US", has_touch=True
        )
        hand = Hand(context.new_page(), language=language, keyboard=keyboard)
        hand.page.goto("/")
        for task in TASKS:
            hand.begin()
            trouble = ""
            try:
                task.work(hand)
            except Exception as fault:  # a task that cannot be done is a row of the table
                trouble = " ".join(str(fault).split())[:90]
            done.append((task, hand.cost, trouble))
        context.close()
    return done


def _line(way: str, task: Task, cost: Cost, trouble: str, keyboard: bool) -> tuple[str, ...]:
    asked = [f"{task.most_s:.0f} s"] if task.most_s else []
    asked += [f"{task.most_taps} taps"] if task.most_taps else []
    slow = task.most_s is not None and cost.seconds > task.most_s
    many = not keyboard and task.most_taps is not None and cost.taps > task.most_taps
    word = f"not done: {trouble}" if trouble else "too much" if slow or many else "done"
    figures = (f"{cost.seconds:.0f} s", cost.taps, cost.keys, cost.screens, cost.boxes)
    return (way, task.name, task.before, ", ".join(asked), *map(str, figures), word)


if __name__ == "__main__":
    main()
