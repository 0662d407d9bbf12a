"""What was said of a recording, and why it could not be read, comes back from text as it went in."""

import pytest

from snath.formulas.signals.candidates import Plateau
from snath.quantities.errors import InputError
from snath.quantities.message import Amount, Message
from snath.shop.answers.recording import recording_answer
from snath.shop.media.recording import read_recording
from snath.shop.media.request import ReadRequest
from snath.shop.media.told import (
    answer_to_json,
    asked_from_json,
    asked_to_json,
    fault_to_json,
    key_of,
    plateaus_from_json,
    plateaus_to_json,
    told_from_json,
)
from snath.words.render import ENGLISH
from tests.shop import ladder


@pytest.mark.parametrize(
    "asked",
    [
        ReadRequest(),
        ReadRequest(machine=ladder.SINGLE, per_turn="spark", begin_s=1.25),
        ReadRequest(kind="light", marks=2, clock_in_view=(1.0, 2.0), recorder="grey phone"),
    ],
)
def test_what_was_said_comes_back(asked: ReadRequest):
    assert asked_from_json(asked_to_json(asked)) == asked


def test_another_word_another_recording_is_another_question():
    one, other = asked_to_json(ReadRequest()), asked_to_json(ReadRequest(begin_s=1.0))
    assert len({key_of("ab" * 32, one), key_of("ab" * 32, other), key_of("cd" * 32, one)}) == 3
    assert key_of("ab" * 32, one) == key_of("ab" * 32, asked_to_json(ReadRequest()))


def test_a_fault_comes_back_with_its_message_and_its_figures():
    allowed = Message("any.code", low=Amount(1.5, "time"), names=("a", 2), inner=Message("other.code"))
    with pytest.raises(InputError) as told:
        told_from_json(fault_to_json(InputError("from", "20.5 s", allowed)))
    assert (told.value.field, told.value.given, told.value.allowed) == ("from", "20.5 s", allowed)


def test_held_speeds_come_back():
    held = (Plateau(29.2, 0.01, 0.0, 4.0), Plateau(55.0, 0.02, 4.0, 10.0))
    assert plateaus_from_json(plateaus_to_json(held)) == held


@pytest.mark.parametrize("begin_s", [None, 4.5])
def test_a_reading_comes_back_to_the_last_digit_with_its_reasons_and_its_track(begin_s: float | None):
    asked = ReadRequest(machine=ladder.SINGLE, begin_s=begin_s, end_s=begin_s and 9.5)
    found = read_recording(ladder.as_sound(), asked)
    assert found.track is not None
    told = told_from_json(answer_to_json(found))
    assert (told.reading, told.track, told.several) == (found.reading, found.track, False)
    # Property: whoever waited in the line is answered what is answered at once.
    assert recording_answer(told, ladder.SINGLE, ENGLISH) == recording_answer(found, ladder.SINGLE, ENGLISH)
    assert told.seconds == found.seconds > 0
