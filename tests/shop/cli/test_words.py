"""What the terminal says of a chance."""

import pytest

from snath.shop.cli.words import chances
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
