"""One renderer for every reader: language, units, decimal mark, the side a figure is rounded to."""

import pytest

from snath.quantities.message import Amount, Message
from snath.words import render
from snath.words.render import ENGLISH, Locale, locale_for, say

GERMAN = locale_for("de")
SENTENCES = {
    ("test.plain", "en"): "at most {speed:0 down}, at least {speed:0 up}",
    ("test.plain", "de"): "höchstens {speed:0 down}, mindestens {speed:0 up}",
    ("test.size", "en"): "{size} or {size:mm 1} or {size:in/16}",
    ("test.example", "en"): "such as 19,000 ft/min or 21.5 in, not {n:2}",
    ("test.share", "en"): "{share:1}, {share:1 signed}, {ratio:3 trim}, {count}",
    ("test.names", "en"): "{names}; {inner}; {lengths:in 1}",
    ("unit.rpm", "en"): "rpm",
    ("unit.rpm", "de"): "1/min",
    ("name.crankshaft", "de"): "Kurbelwelle",
}


@pytest.fixture(autouse=True)
def _sentences(monkeypatch):
    monkeypatch.setattr(render, "entry", lambda code, language: SENTENCES.get((code, language)))


def test_a_ceiling_is_rounded_down_and_a_floor_up_in_the_readers_mark():
    # By hand: 55.008 turns a second are 3300.48 a minute.
    speed = Message("test.plain", speed=Amount(55.008, "rotation"))
    assert say(speed, ENGLISH) == "at most 3,300 rpm, at least 3,301 rpm"
    assert say(speed, GERMAN) == "höchstens 3.300 1/min, mindestens 3.301 1/min"


def test_the_unit_is_the_readers_unless_the_sentence_names_one():
    # By hand: 0.5461 m are 21.5 in, 546.1 mm (1 in = 25.4 mm exactly).
    size = Message("test.size", size=Amount(0.5461, "length"))
    assert say(size, ENGLISH) == "21.500 in or 546.1 mm or 21 1/2 in"
    assert say(size, Locale("en", ".", "mm")).startswith("546.1 mm or ")


def test_examples_follow_the_readers_mark():
    message = Message("test.example", n=1.5)
    assert say(message, ENGLISH) == "such as 19,000 ft/min or 21.5 in, not 1.50"
    assert say(message, Locale("en", ",")) == "such as 19.000 ft/min or 21,5 in, not 1,50"


def test_shares_are_percent_and_signs_and_zeros_as_asked():
    message = Message("test.share", share=Amount(0.025, "share"), ratio=1.250, count=3)
    assert say(message, ENGLISH) == "2.5 %, +2.5 %, 1.25, 3"


def test_names_stay_as_typed_but_for_those_the_core_gives():
    message = Message(
        "test.names",
        names=("crankshaft", "left deck"),
        inner=Message("test.plain", speed=Amount(55.0, "rotation")),
        lengths=(Amount(0.0254, "length"), Amount(0.0508, "length")),
    )
    assert say(message, ENGLISH) == (
        "crankshaft, left deck; at most 3,300 rpm, at least 3,300 rpm; 1.0 in, 2.0 in"
    )
    assert "Kurbelwelle" in render._filled(("crankshaft", "left deck"), render._Figures(), GERMAN)


def test_text_stays_and_an_unknown_code_is_shown_as_one():
    assert say("as it was kept", GERMAN) == "as it was kept"
    assert say(Message("gone.code", by=2), ENGLISH) == "[gone.code(by=2)]"


def test_a_language_brings_its_habits_and_others_read_english():
    assert locale_for("de-AT") == Locale("de", ",", "mm")
    assert locale_for("tlh") == ENGLISH
