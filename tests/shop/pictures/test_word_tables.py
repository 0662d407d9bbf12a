"""Both languages say everything, with the same figures in it, and nothing that is never said."""

import re
from pathlib import Path

import pytest

from snath.shop.pictures.voice import speaking
from snath.words.tables import LANGUAGES, shown
from tests.told import refused

HEARD = "typed"  # what people type in a table: each language has words of its own
NAMES = sorted(
    {path.stem for path in (Path(__file__).parents[3] / "src/snath/words/en/shown").glob("*.toml")} - {HEARD}
)
SOURCES = Path(__file__).parents[3] / "src/snath/shop"


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("language", LANGUAGES)
def test_every_language_has_the_same_keys_with_the_same_places(name, language):
    english, other = shown(name, "en"), shown(name, language)
    assert sorted(english) == sorted(other)
    for key, sentence in english.items():
        assert sorted(re.findall(r"{\w+}", sentence)) == sorted(re.findall(r"{\w+}", other[key])), key


@pytest.mark.parametrize("name", NAMES)
def test_german_is_not_english_left_standing(name):
    english, german = shown(name, "en"), shown(name, "de")
    long_ones = [key for key, sentence in english.items() if len(re.sub(r"{\w+}", "", sentence)) > 16]
    assert [key for key in long_ones if german[key] == english[key]] == []


def test_a_word_typed_in_both_languages_means_the_same_in_both():
    english, german = shown(HEARD, "en"), shown(HEARD, "de")
    assert english.keys() - german.keys()
    assert german.keys() - english.keys()
    assert [key for key in english.keys() & german.keys() if english[key] != german[key]] == []


def test_an_unknown_language_is_refused_with_the_choice():
    with refused("en, de"):
        speaking("xx")


def test_german_swaps_comma_and_point():
    assert speaking("de").decimal_mark == ","
    assert speaking("en").decimal_mark == "."
