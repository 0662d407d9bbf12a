"""Both languages say everything, with the same figures in it, and nothing that is never said."""

import re
from pathlib import Path

import pytest

from snath.shop.paper.press import WORDS as PAPER_WORDS
from snath.shop.pictures.voice import WORDS, speaking, table
from snath.words.tables import LANGUAGES
from tests.told import refused

SOURCES = Path(__file__).parents[3] / "src/snath/shop"


@pytest.mark.parametrize("folder", [WORDS, PAPER_WORDS], ids=["pictures", "paper"])
@pytest.mark.parametrize("language", LANGUAGES)
def test_every_language_has_the_same_keys_with_the_same_places(folder, language):
    english, other = table(folder, "en"), table(folder, language)
    assert sorted(english) == sorted(other)
    for key, sentence in english.items():
        assert sorted(re.findall(r"{\w+}", sentence)) == sorted(re.findall(r"{\w+}", other[key])), key


@pytest.mark.parametrize("folder", [WORDS, PAPER_WORDS], ids=["pictures", "paper"])
def test_german_is_not_english_left_standing(folder):
    english, german = table(folder, "en"), table(folder, "de")
    long_ones = [key for key, sentence in english.items() if len(re.sub(r"{\w+}", "", sentence)) > 16]
    assert [key for key in long_ones if german[key] == english[key]] == []


def test_an_unknown_language_is_refused_with_the_choice():
    with refused("en, de"):
        speaking("xx")


def test_german_swaps_comma_and_point():
    assert speaking("de").decimal_mark == ","
    assert speaking("en").decimal_mark == "."
