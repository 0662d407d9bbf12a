"""The core's sentences are said in German without a page too, and in the same words as on one."""

import subprocess
from pathlib import Path

import pytest
from click.testing import CliRunner
from django.utils import translation

from snath.shop.bench.core_words import said_in, speaker, tongue
from snath.shop.bench.words import said
from snath.shop.cli.main import main

JOB = Path("examples/jobs/walk_behind_left_at_3600.toml")
# Each as the core says it: a list's sentence, one with holes, one within another, a figure alone, a name.
SENTENCES = (
    "No sheave in stock gives that drive.",
    "scatter of 3 readings, crankshaft, blades in air",
    "engine governed to at most 3,336 rpm",
    "19,000 ft/min",
    "3.0 hp",
    "Orchard walk-behind",
    "",
)


@pytest.mark.parametrize("sentence", SENTENCES)
@pytest.mark.parametrize("language", ["en", "de"])
def test_a_sentence_is_the_same_with_and_without_a_page(language, sentence):
    # another road: the page goes through the web framework's catalogue, the command through the file's own
    with translation.override(language):
        on_a_page = said(sentence)
    to = tongue(language)
    assert said_in(sentence, to, to.mark) == on_a_page


def test_english_paper_says_what_the_core_says():
    assert speaker("en")("driver sheave") == "driver sheave"


def test_the_german_job_sheet_of_the_command_has_no_english_sentence_of_the_core(tmp_path):
    sheet = tmp_path / "sheet.pdf"
    CliRunner().invoke(main, ["job", str(JOB), "--pdf", str(sheet), "--language", "de"])
    text = " ".join(subprocess.run(["pdftotext", sheet, "-"], capture_output=True, text=True).stdout.split())
    assert "ist über der Grenze (mower-tip-speed-consumer)" in text
    assert "Kurbelwelle" in text
    for english in ("over its limit", "crankshaft", "blades in air", "scatter of", "nothing being cut"):
        assert english not in text
