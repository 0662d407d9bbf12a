"""The window picture: which member binds is the shortest and the black bar, and the words say the same."""

from dataclasses import replace
from xml.etree import ElementTree

import pytest

from snath.quantities.measured import Line, Measured
from snath.quantities.message import Message
from snath.shop.pictures.voice import speaking
from snath.shop.pictures.window import window_picture

SVG = "{http://www.w3.org/2000/svg}"


def shapes(picture, look):
    root = ElementTree.fromstring(picture.svg)
    return [e for e in root.iter() if e.get("class") == f"pic-{look}"]


def words(picture):
    return [e.text for e in ElementTree.fromstring(picture.svg).iter(f"{SVG}text")]


@pytest.mark.parametrize("width", [360, 720])
def test_the_binding_member_is_the_one_black_bar_and_ends_where_the_ceiling_stands(rider, voice, width):
    # Property: the solid bar's right end, the thick limit line and the band's edge are one place.
    picture = window_picture(rider, voice, width=width)
    (binds,) = shapes(picture, "binds")
    limit, end = shapes(picture, "limit")
    assert limit.get("x1") == end.get("x1")
    assert float(binds.get("x")) + float(binds.get("width")) == pytest.approx(
        float(limit.get("x1")), abs=0.02
    )
    others = shapes(picture, "bar")
    assert len(others) == 3
    for bar in others:
        assert float(bar.get("x")) + float(bar.get("width")) > float(limit.get("x1"))


def test_ceilings_are_printed_rounded_down_and_floors_up(rider, voice):
    # By hand: 3311.4 down is 3311; a floor of 2700.2 up is 2701.
    picture = window_picture(replace(rider, floor=2700.2 / 60), voice)
    assert "Never above 3,311" in words(picture)
    assert "At least 2,701" in words(picture)
    assert "Set to 3,200" in words(picture)
    assert "from 2,701 rpm to 3,311 rpm" in picture.text


def test_a_whole_limit_is_not_pushed_down_by_binary_dust(rider, voice):
    # By hand: 3300 / 60 * 60 may come out a hair under 3300 and must still print 3300.
    picture = window_picture(replace(rider, ceiling=3300 / 60 * (1 - 1e-15)), voice)
    assert "Never above 3,300" in words(picture)


def test_the_reading_is_marked_with_twice_its_standard_uncertainty(rider, voice, reading, verdict):
    picture = window_picture(rider, voice, reading=reading, verdict=verdict)
    assert "You have 3,290 ± 20 · undecided" in words(picture)
    spread = shapes(picture, "spread")[0]
    # Property: on the axis the whisker is as wide as 40 rpm, the set band as wide as 100 rpm.
    (band,) = shapes(picture, "set")
    long = float(spread.get("x2")) - float(spread.get("x1"))
    assert long / float(band.get("width")) == pytest.approx(40 / 100, abs=0.002)
    assert "give or take 20 rpm" in picture.text
    assert picture.text.endswith("Verdict: undecided.")


def test_a_reading_at_a_spindle_is_shown_on_the_bar_of_what_sits_there(rider, voice):
    # By hand: 3,520 rpm at the left spindle is 3,200 rpm of the crank by the ratio of 1.1 that counts,
    # which is where the target stands.
    read = Measured(3520 / 60, (Line("tachometer", 10 / 60),))
    from_spindle = replace_reading(read, "left spindle")
    picture = window_picture(rider, voice, reading=from_spindle)
    (mark,) = shapes(picture, "reading")
    (target,) = shapes(picture, "target")
    tip = float(mark.get("points").split()[2].split(",")[0])
    middle = float(target.get("points").split()[0].split(",")[0])
    assert tip == pytest.approx(middle, abs=0.02)
    assert "The left spindle was read at 3,520 rpm" in picture.text


def replace_reading(value, shaft):
    from snath.decisions.reading.reading import Reading

    return Reading(shaft=shaft, value=value, decided=True)


def test_an_undecided_reading_is_told_in_words_and_not_marked(rider, voice, reading):
    open_reading = replace(reading, value=None, decided=False, why="two speeds fit equally well.")
    picture = window_picture(rider, voice, reading=open_reading)
    assert shapes(picture, "reading") == []
    assert "two speeds fit equally well." in picture.text


def test_a_shut_window_has_no_allowed_stretch_and_says_why(rider, voice):
    shut = replace(rider, feasible=False, floor=3500 / 60, target=None, set_low=None, set_high=None)
    picture = window_picture(shut, voice)
    assert shapes(picture, "allowed") == []
    assert "Shut: no speed fits" in words(picture)
    assert picture.text.startswith("No speed fits: 3,500 rpm is needed and 3,311 rpm must not be passed.")


@pytest.mark.parametrize(
    ("setting", "notes", "told"),
    [
        ("not known", (Message("window.no-figure"),), "the setting is not"),
        ("not known", (), "does not settle what to set"),
        ("stop", (), "Stop: the maker's figure"),
        ("no room", (), "too close to it"),
    ],
)
def test_why_there_is_no_target_is_told(rider, voice, setting, notes, told):
    bare = replace(rider, target=None, set_low=None, set_high=None, setting=setting, notes=notes)
    assert told in window_picture(bare, voice).text


def test_a_window_with_nothing_in_it_still_draws(rider, voice):
    empty = replace(rider, feasible=False, ceiling=None, floor=None, target=None, set_low=None, set_high=None,
                    fail_above=None, bounds=(), binding="")  # fmt: skip
    ElementTree.fromstring(window_picture(empty, voice).svg)


def test_every_member_is_told_with_both_ways_to_reckon_it(rider, voice):
    text = window_picture(rider, voice).text
    # By hand: 3401.8 down is 3401.
    assert (
        "left blade on the left spindle: 3,311 rpm at most if by datum, 3,401 rpm at most if by outside."
        in text
    )
    assert "pump on the pump shaft: never above 9,000 rpm." in text


def test_of_many_members_the_tightest_are_drawn_and_the_rest_counted(rider, voice):
    crowd = tuple(replace(rider.bounds[-1], member=f"pump {i}") for i in range(20))
    picture = window_picture(replace(rider, bounds=rider.bounds + crowd), voice)
    assert "12 more, all wider" in words(picture)
    assert len(shapes(picture, "binds")) == 1


def test_a_limit_on_a_short_peak_has_no_bar(rider, voice):
    peak = replace(rider.bounds[0], member="wheel", applies_to="peak")
    assert "wheel" not in " ".join(words(window_picture(replace(rider, bounds=(*rider.bounds, peak)), voice)))


def test_everything_stays_on_the_paper(rider, voice, reading, verdict):
    for width in (320, 360, 720):
        picture = window_picture(rider, voice, reading=reading, verdict=verdict, width=width)
        for bar in [
            e for look in ("bar", "binds", "allowed", "set", "blocked") for e in shapes(picture, look)
        ]:
            assert float(bar.get("x")) >= 0
            assert float(bar.get("x")) + float(bar.get("width")) <= width


def test_german_speaks_german_with_its_own_marks(rider, reading, verdict):
    picture = window_picture(rider, speaking("de"), reading=reading, verdict=verdict)
    assert "Nie über 3.311" in words(picture)
    assert "von 2.700 1/min bis 3.311 1/min" in picture.text
