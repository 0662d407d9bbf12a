"""Shaft tree, track and budget: what is drawn is what is told."""

from itertools import pairwise
from xml.etree import ElementTree

import pytest

from snath.decisions.machine.parts import Coupling, Engine, Machine, Member, Ratio
from snath.decisions.reading.reading import Reading
from snath.formulas.signals.candidates import Event, Track
from snath.quantities.measured import Line, Measured, exact
from snath.shop.pictures.budget import budget_picture
from snath.shop.pictures.track import Lines, track_picture
from snath.shop.pictures.train import train_picture


def words(picture):
    root = ElementTree.fromstring(picture.svg)
    return [e.text for e in root.iter("{http://www.w3.org/2000/svg}text")]


def looks(picture, look):
    return [e for e in ElementTree.fromstring(picture.svg).iter() if e.get("class") == f"pic-{look}"]


def belt(driver, driven, datum, outside, sense=1):
    ways = (Ratio("by datum", exact(datum)), Ratio("by outside", exact(outside)))
    return Coupling(driver, driven, ways, kind="belt", sense=sense)


@pytest.fixture
def machine():
    return Machine(
        "rider",
        "ride-on rotary mower",
        Engine(),
        (belt("crankshaft", "jackshaft", 0.9, 0.8), belt("jackshaft", "spindle", 1.5, 1.25, sense=-1)),
        (Member("blade", "spindle", "blade"),),
    )


@pytest.mark.parametrize("width", [360, 720])
def test_the_tree_shows_each_shaft_at_its_slowest_and_fastest(machine, voice, width):
    # By hand at 3,000 rpm: jackshaft 2,400 and 2,700; spindle 2,400 x 1.25 = 3,000 and 2,700 x 1.5 = 4,050.
    picture = train_picture(machine, voice, rev_s=50, width=width)
    shown = words(picture)
    for figure in ("3,000 rpm", "by outside: 2,400 rpm", "by datum: 2,700 rpm", "by datum: 4,050 rpm"):
        assert figure in shown
    assert "The spindle is driven from the jackshaft (belt), turns against the crankshaft" in picture.text
    assert "It carries blade." in picture.text


def test_a_train_of_32_shafts_stays_on_the_paper(voice):
    names = ["crankshaft", *(f"shaft {i}" for i in range(31))]
    chain = tuple(belt(a, b, 1.0, 1.0) for a, b in pairwise(names))
    picture = train_picture(Machine("long", "other", Engine(), chain), voice, rev_s=50, width=360)
    boxes = looks(picture, "page")
    assert len(boxes) == 32
    assert all(
        float(b.get("x")) + float(b.get("width")) <= 360 and float(b.get("width")) > 150 for b in boxes
    )


def track(**more):
    t = tuple(i / 10 for i in range(100))
    speeds = tuple(50.0 if i < 50 else 55.0 for i in range(100))
    return Track("crankshaft", t, speeds, (0.1,) * 100, **more)


def test_the_track_tells_lowest_highest_and_whether_it_went_over(voice):
    # By hand: 50 and 55 rev/s are 3,000 and 3,300 rpm; 54 rev/s is 3,240.
    picture = track_picture(track(events=(Event(5.0, "load off"),)), voice, lines=Lines(ceiling=54, floor=45))
    assert "lowest 3,000 rpm, highest 3,300 rpm, at the end 3,300 rpm" in picture.text
    assert "It went over 3,240 rpm" in picture.text
    assert "At 5.0 s: load off." in picture.text
    assert "load off" in words(picture)
    assert "never above 3,240" in words(picture)


def test_a_gap_breaks_the_line_and_is_hatched(voice):
    gappy = track(gaps=((3.01, 4.99),))
    kept = [i for i, t in enumerate(gappy.t_s) if not 3.01 < t < 4.99]
    gappy = Track(
        "crankshaft", *(tuple(s[i] for i in kept) for s in (gappy.t_s, gappy.rev_s, gappy.u)), gappy.gaps
    )
    picture = track_picture(gappy, voice)
    assert len(looks(picture, "trace")) == 2
    assert len(looks(picture, "hatch")) == 1
    assert "One stretch of 2.0 s gave no speed." in picture.text


def test_a_track_without_a_single_speed_says_so(voice):
    picture = track_picture(Track("crankshaft", (), (), ()), voice, lines=Lines(ceiling=57))
    assert picture.text == "No speed could be told anywhere in the recording."


def test_a_long_track_stays_small_and_keeps_its_peak(voice):
    # Property: one sample of 60 rev/s in 200,000 is the highest point of the drawing.
    n = 200_000
    speeds = [50.0] * n
    speeds[123_456] = 60.0
    long = Track("crankshaft", tuple(i / 1000 for i in range(n)), tuple(speeds), (0.0,) * n)
    picture = track_picture(long, voice)
    assert len(picture.svg) < 30_000
    assert "highest 3,600 rpm" in picture.text
    (trace,) = looks(picture, "trace")
    heights = {p.split(",")[1] for p in trace.get("points").split()}
    assert len(heights) == 2


def test_the_budget_has_one_bar_a_cause_largest_first_and_one_for_all(voice):
    # By hand: sqrt(6^2 + 8^2) = 10 rpm; 64 and 36 % of the variance.
    value = Measured(55.0, (Line("scatter", 6 / 60, 2), Line("plate accuracy", 8 / 60, None, "rectangular")))
    picture = budget_picture(Reading(value=value), voice, width=360)
    assert words(picture)[0] == "plate accuracy"
    assert [float(b.get("width")) for b in looks(picture, "bar")] == pytest.approx([288, 216], abs=0.01)
    assert "standard uncertainty of 10 rpm" in picture.text
    assert "plate accuracy: 8.0 rpm, 64 % of the variance." in picture.text


def test_small_causes_are_gathered(voice):
    # By hand: nine equal causes, two of them gathered: 2 / 9 = 22 %.
    value = Measured(55.0, tuple(Line(f"cause {i}", 0.1) for i in range(9)))
    picture = budget_picture(Reading(value=value), voice)
    assert "2 smaller causes" in words(picture)
    assert "2 smaller causes bring 22 % together." in picture.text


def test_an_exact_value_has_nothing_to_show_but_says_so(voice):
    assert budget_picture(Reading(value=exact(55.0)), voice).text == "3,300 rpm, taken as exact."
