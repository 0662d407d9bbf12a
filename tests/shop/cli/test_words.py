"""What the terminal says of a chance."""

import pytest

from snath.formulas.signals.candidates import Candidate
from snath.shop.answers.chances import chances
from snath.shop.answers.reading_head import could_be
from snath.words.render import ENGLISH, say


@pytest.mark.parametrize(
    ("least", "most", "said"),
    [
        (0.0, 0.0, "under 0.1 %"),  # property: nothing read is certain
        (1.0, 1.0, "over 99.9 %"),
        (0.0, 0.13, "under 0.1 % to 13.0 %"),  # by hand
        (0.5, 0.5, "50.0 %"),
    ],
)
def test_no_chance_is_printed_as_a_certainty(least: float, most: float, said: str) -> None:
    assert say(chances(least, most), ENGLISH) == said


@pytest.mark.parametrize(
    ("weight", "said"), [(0.0004, "under 1.0 %"), (0.42, "42 %"), (0.9996, "over 99.0 %")]
)
def test_no_speed_a_recording_fits_is_said_to_be_out_of_the_question(weight: float, said: str) -> None:
    told = say(could_be(Candidate(60.0, 0.1, weight, "a single"), why=False), ENGLISH)
    assert told.strip() == f"could be 3,600.0 rpm ({said}): a single"
