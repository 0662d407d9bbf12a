"""The terminal answers in the language of its shell, or in the one that is asked for."""

import subprocess
from pathlib import Path

import pytest
from click.testing import CliRunner

from snath.shop.cli.main import main

JOB = Path("examples/jobs/walk_behind_left_at_3600.toml")
UNSET = {"LC_ALL": None, "LC_MESSAGES": None, "LANG": None}


@pytest.mark.parametrize(
    ("shell", "german"),
    [
        ({"LANG": "de_DE.UTF-8"}, True),
        ({"LC_MESSAGES": "de_AT", "LANG": "en_US.UTF-8"}, True),
        (
            {"LC_ALL": "C", "LC_MESSAGES": "de_DE.UTF-8"},
            False,
        ),  # POSIX: the first of the three that is set counts
        ({"LANG": "de@euro"}, True),
        ({"LANG": "sv_SE.UTF-8"}, False),
        ({}, False),
    ],
)
def test_the_shell_says_which_language_it_wants(shell, german):
    done = CliRunner().invoke(main, ["limit", "--blade", "22 in"], env={**UNSET, **shell})
    assert ("1/min" in done.output) is german
    assert ("3.298" in done.output) is german


def test_what_is_asked_for_counts_before_the_shell():
    done = CliRunner().invoke(
        main, ["limit", "--blade", "22 in", "--language", "en"], env={**UNSET, "LANG": "de_DE.UTF-8"}
    )
    assert "3,298 rpm" in done.output


def test_a_german_refusal_comes_in_german_too():
    done = CliRunner().invoke(main, ["limit", "--blade", "22"], env={**UNSET, "LANG": "de_DE.UTF-8"})
    assert done.exit_code == 2
    assert "die Einheit fehlt" in done.output


def test_the_german_job_sheet_of_the_command_has_no_english_sentence_of_the_core(tmp_path):
    sheet = tmp_path / "sheet.pdf"
    CliRunner().invoke(main, ["job", str(JOB), "--pdf", str(sheet), "--language", "de"])
    text = " ".join(subprocess.run(["pdftotext", sheet, "-"], capture_output=True, text=True).stdout.split())
    assert "Über der Grenze: Messer (ANSI/OPEI B71.1" in text
    assert "Kurbelwelle" in text
    assert "Messer, wie es ist: 5" in text
    for english in ("its limit", "crankshaft", "blades in air", "scatter of", "nothing being cut"):
        assert english not in text


def test_whoever_writes_the_other_decimal_mark_is_told_the_option():
    for language, words in (("en", "say --decimal-mark ','"), ("de", "--decimal-mark ',' angeben")):
        done = CliRunner().invoke(main, ["limit", "--blade", "51,5 cm", "--language", language])
        assert done.exit_code == 2
        assert words in done.stderr
    done = CliRunner().invoke(main, ["limit", "--blade", "51,5 cm", "--decimal-mark", ","])
    assert done.exit_code == 0
    assert "--decimal-mark" not in CliRunner().invoke(main, ["limit", "--blade", "22"]).stderr
