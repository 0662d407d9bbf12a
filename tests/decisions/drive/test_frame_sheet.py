import math
import re
from pathlib import Path

import pytest

from snath.decisions.drive.frame import pulleys
from snath.decisions.drive.frame_sheet import read_frame
from snath.decisions.drive.installed import installed_drive
from snath.formulas.belts.guides import guiding
from snath.quantities.message import Message
from tests.told import refused

EXAMPLES = Path(__file__).parents[3] / "examples" / "routes"
IN = 0.0254
PAIR = """name = "pair"
turns = "clockwise"
[belt]
name = "A51"
[[pulley]]
name = "engine"
shaft = "crankshaft"
outside = "4 in"
slot = {slack = ["30 mm", "0 mm"], tight = ["-70 mm", "0 mm"]}
[[pulley]]
name = "blade"
shaft = "spindle"
at = ["450 mm", "0 mm"]
outside = "5 in"
"""


def example(name):
    return (EXAMPLES / f"{name}.route.toml").read_text("utf-8")


def test_radii_are_those_of_the_line_the_belt_is_named_by():
    # Published: Machinery's Handbook Table 9: A, datum 0.250 in inside: 4 in outside is 1.875 in of radius.
    engine, blade = pulleys(read_frame(PAIR))
    assert engine.radius == pytest.approx(1.875 * IN)
    assert blade.radius == pytest.approx(2.375 * IN)
    assert engine.rim == pytest.approx(2 * IN)


def test_the_deck_of_the_example_by_hand():
    # By hand, in mm, idler at -280.0, 260.7; radii on the datum line 73.025, 57.150, 47.625 (back), 41.275 (back).
    # Distance d, difference of signed radii D, run sqrt(d^2 - D^2):
    runs = {
        ("engine", "guide"): 227.95,  # d 255.00, D 114.300
        ("guide", "right"): 269.14,  # d 286.57, D 98.425
        ("right", "middle"): 546.72,  # d 546.72, D 0
        ("middle", "left"): 546.72,
        ("left", "clutch idler"): 115.86,  # d 156.21, D 104.775
        ("clutch idler", "engine"): 363.06,  # d 382.58, D 120.650
    }
    wraps = {
        "engine": 116.04,
        "guide": 27.67,
        "right": 113.16,
        "middle": 79.61,
        "left": 155.98,
        "clutch idler": 77.13,
    }
    arcs = 147.90 + 19.93 + 112.87 + 79.41 + 155.58 + 64.11
    by_hand = sum(runs.values()) + arcs  # 2069.45 + 579.80 = 2649.25; A103 is 104.3 in = 2649.22 mm
    found = installed_drive(read_frame(example("deck_52_inch")))
    assert by_hand == pytest.approx(2649.25, abs=0.005)
    assert found.length * 1000 == pytest.approx(by_hand, abs=1.0)
    assert found.length / IN == pytest.approx(104.3, abs=1e-6)
    assert found.seat.place[0] * 1000 == pytest.approx(-280.0, abs=0.1)
    assert found.seat.place[1] * 1000 == pytest.approx(260.7, abs=0.1)
    names = [p.name for p in found.route.pulleys]
    for i, span in enumerate(found.route.spans):
        assert span.length * 1000 == pytest.approx(runs[names[i], names[(i + 1) % 6]], abs=0.05)
    for name, wrap in wraps.items():
        assert math.degrees(found.route.wrap(name)) == pytest.approx(wrap, abs=0.05)


def test_idler_and_guide_turn_against_the_blades():
    found = installed_drive(read_frame(example("deck_52_inch")))
    senses = {p.name: found.route.sense(p.name, of="engine") for p in found.route.pulleys}
    assert senses == {"engine": 1, "left": 1, "middle": 1, "right": 1, "clutch idler": -1, "guide": -1}


def test_the_clutch_idler_lets_the_belt_go_and_has_travel_left():
    found = installed_drive(read_frame(example("deck_52_inch")))
    assert 0 < found.share_left < 0.3
    assert found.slack_released > 0.03
    assert "drive.leaves-slack" in [note.code for note in found.notes]


def test_the_spring_pulls_as_moments_about_the_pivot_say():
    # By hand at the idler of the deck: arm from (-60, 260) to (-280.0, 260.7), 179.83 deg, so the hook is 90 mm
    # out at (-150.0, 260.3); anchor (-20, 470): spring 246.6 mm long... its rate 300 N over 50 mm, free 120.
    found = installed_drive(read_frame(example("deck_52_inch")))
    hook = (-60 + 90 * math.cos(math.radians(179.83)), 260 + 90 * math.sin(math.radians(179.83)))
    along = (-20 - hook[0], 470 - hook[1])
    length = math.hypot(*along)
    force = 20 + 6.0 * (length - 120)
    lever = abs((hook[0] + 60) * along[1] - (hook[1] - 260) * along[0]) / length
    before, after = math.radians(-61.338 + 180), math.radians(15.789 + 180)
    push = (
        math.cos(after) - math.cos(before),
        math.sin(after) - math.sin(before),
    )  # of a pull of 1 in both runs
    reach = abs(-220.0 * push[1] - 0.7 * push[0])
    assert found.pull == pytest.approx(force * lever / reach, rel=0.01)


def test_the_mule_drive_of_the_example_by_hand():
    # By hand: two runs of 820 and two of 815 mm, half a turn on 63.5 and about half on 66.7 mm, two quarters on 45:
    # 3270 + 199.5 + 209.5 + 141.4 = 3820.4 mm; every entry in its plane but for 3.2 mm over 815 mm, 0.22 deg.
    found = installed_drive(read_frame(example("mule_drive")))
    assert found.length * 1000 == pytest.approx(3820.4, abs=1.0)
    entering = [math.degrees(s.entering) for s in found.space.spans]
    assert max(entering) == pytest.approx(0.22, abs=0.02)
    assert [round(math.degrees(s.twist)) for s in found.space.spans] == [90, 90, 90, 90]


def test_a_guide_pulley_out_of_place_is_refused_with_the_angle():
    text = example("mule_drive").replace(
        'at      = ["45 mm", "63.5 mm", "0 mm"]', 'at      = ["45 mm", "123.5 mm", "0 mm"]'
    )
    with refused(r"out of its plane, towards .*: must be at most 3 deg: move or tilt the guide"):
        installed_drive(read_frame(text))
    assert guiding("entering fleet angle").standing == "trade"


FAULTS = [
    ('outside = "5 in"', 'outside = "5"', "pulley[2].outside = 5: must be a length with its unit"),
    ('at = ["450 mm", "0 mm"]', 'at = ["450 mm"]', "pulley[2].at"),
    ('shaft = "spindle"', 'shaft = "crankshaft"', "stands at two pulleys of one belt"),
    ('shaft = "spindle"', 'shaft = "spindle"\ncontact = "flat back"', "drives a shaft through a groove only"),
    ('name = "A51"', 'name = "Z51"', "belt.name = Z51: must be a section and its number"),
    ('turns = "clockwise"', "", "turns"),
    ('shaft = "crankshaft"\n', "", "the first pulley is the engine's"),
    ('outside = "5 in"', 'outside = "5 in"\nride = "-5 mm"', "does not match the groove"),
    ('outside = "5 in"', 'outside = "5 in"\nroom_ = "6 in"', "unknown key; did you mean room?"),
]


@pytest.mark.parametrize(("was", "becomes", "said"), FAULTS)
def test_a_fault_is_told_with_its_key(was, becomes, said):
    assert was in PAIR
    with refused(re.escape(said)):
        read_frame(PAIR.replace(was, becomes, 1))


def test_a_belt_too_short_for_the_frame_and_one_too_long():
    with refused("too short for the frame"):
        installed_drive(read_frame(PAIR.replace("A51", "A42")))
    with refused("engine cannot tighten it"):
        installed_drive(read_frame(PAIR.replace("A51", "A60")))


def test_touching_sheaves_are_refused():
    with refused("touch"):
        installed_drive(
            read_frame(
                PAIR.replace('"450 mm"', '"140 mm"')
                .replace('"-70 mm"', '"30 mm"')
                .replace('"30 mm", "0 mm"', '"31 mm", "0 mm"')
            )
        )


def test_an_idler_in_the_run_that_pulls_is_told_off():
    text = example("deck_52_inch").replace('"clockwise"', '"counter-clockwise"')
    head, *blocks = text.split("[[pulley]]")
    last, fit = blocks[-1].split("[fit]")
    order = [blocks[0], last, *reversed(blocks[1:-1])]
    found = installed_drive(read_frame("[[pulley]]".join([head, *order]) + "\n[fit]" + fit))
    assert "drive.idler-pulls" in [note.code for note in found.notes]


def test_wear_that_is_seen_is_said():
    found = installed_drive(read_frame(PAIR + "shiny_bottom = true\nwobble = true\n"))
    assert "drive.groove-shines" in [note.code for note in found.notes]
    assert Message("drive.wobbles", name="blade") in found.notes
