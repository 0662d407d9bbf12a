"""Draw a twin-spindle rider with an idler, from the list of jobs to the parts list of another drive.

The machine is invented: 6 in on the engine, 4 3/4 in on the spindles, blades of 21 in, so that no speed near the
engine's 3,600 rpm will do. Nothing is typed but sizes and the belt's print.
"""

from benchmarks._thumb import Hand

ORDER = ("engine", "idler", "left spindle", "right spindle")  # as the belt meets them
SIZES = (  # a box by its words, the which of that name, what a tape says
    ("Outside diameter", 0, "6"),
    ("Outside diameter", 1, "4 3/4"),
    ("Outside diameter", 2, "4 3/4"),
    ("Outside diameter", 3, "3 1/2"),
    *(("to the left", 0, "9"), ("ahead", 0, "14")),  # the left spindle
    *(("to the right", 0, "9"), ("ahead", 1, "14")),  # the right one
    *(("to the left", 1, "3 1/2"), ("ahead", 2, "8 1/2")),  # the idler, tight
    *(("to the left", 2, "7"), ("ahead", 3, "6")),  # and at its loosest
)


def sized(hand: Hand) -> None:
    """Every size as it is read off the tape."""
    for box, which, size in SIZES:
        hand.type(box, hand.inches(size), at=which)


def twin_spindle(hand: Hand) -> None:
    """The task, to the PDF of the parts."""
    hand.press("Jobs")
    hand.press("New job")
    hand.press("One with a belt over several spindles")
    hand.look()
    hand.choose("Clutch", "by hand or switch")
    hand.type("Each blade, its length", hand.inches("21"))
    hand.type("Engine maker's highest no-load speed", "3600")
    hand.type("Belt that is on, as printed on it", "A68")
    for pulley in ORDER:
        hand.press(pulley)
    sized(hand)
    hand.press("Work it out")
    hand.page.wait_for_url("**/window/**")
    hand.see("[data-ceiling]")
    hand.press("Another drive")
    hand.page.wait_for_url("**/drive/**")
    assert hand.printed("Parts list").startswith(b"%PDF")
