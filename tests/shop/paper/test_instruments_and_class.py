"""Instrument labels, the list of checks, and the class sheet whose answers are not in it."""

from dataclasses import replace

from snath.decisions.reading.instruments import Instrument
from snath.shop.paper.class_sheet import class_sheet
from snath.shop.paper.facts import SheetFacts
from snath.shop.paper.instruments import (
    Check,
    CheckedInstrument,
    calibration_list,
    instrument_labels,
    overdue,
)
from snath.shop.paper.voices import paper_voice
from tests.shop.paper.conftest import TACHOMETER

FACTS = SheetFacts(shop="Lindenhof Small Engines")
REED = Instrument(
    "T2", "reed in its box", "reed", checked_on="2024-01-01", due_on="2025-01-01", correction=0.0031
)
NEW = Instrument("T3", "never looked at")


def test_an_instrument_is_in_date_on_the_day_it_is_due_and_overdue_the_day_after():
    assert not overdue(TACHOMETER, "2027-03-01")
    assert overdue(TACHOMETER, "2027-03-02")
    assert overdue(NEW, "2020-01-01")


def test_a_label_says_when_it_was_checked_and_until_when_that_holds(read):
    text = read(instrument_labels([TACHOMETER, REED, NEW], facts=FACTS, on="2026-06-12"))
    assert "T1" in text
    assert "Check again by 2027-03-01" in text
    assert "Take off 0.31 % of what it shows" in text
    assert "Check again by before use" in text
    assert text.count("Overdue: it counts as less exact until it is checked.") == 2


def test_thirty_labels_run_over_several_sheets(paged):
    many = [replace(TACHOMETER, id=f"T{i}") for i in range(30)]
    labels = paged(instrument_labels(many, facts=FACTS, on="2026-06-12", paper="us-letter"))
    assert len(labels) >= 2
    assert "T29" in labels[-1]


def test_the_list_shows_state_and_every_check_with_both_figures(read):
    check = Check(
        "2026-03-01", "crystal reference, certificate 118", 3600 / 60, 3599 / 60, 0.0001, "O. Owner"
    )
    rows = [CheckedInstrument(TACHOMETER, (check,)), CheckedInstrument(REED), CheckedInstrument(NEW)]
    text = read(calibration_list(rows, facts=FACTS, on="2026-06-12"))
    assert "State of 2026-06-12" in text
    assert "in date" in text
    assert "OVERDUE" in text
    assert "never checked" in text
    assert "0.05 % + 1.0 rpm" in text
    for part in ("crystal reference, certificate 118", "3,600 rpm", "3,599 rpm", "0.01 %", "O. Owner"):
        assert part in text


def test_an_empty_list_says_so(read):
    assert "No instrument is on record." in read(calibration_list([], facts=FACTS, on="2026-06-12"))


def test_the_class_sheet_gives_what_is_needed_and_no_answer(job, result, facts, read):
    # By hand: at 1,000 rpm the spindle turns 1,200 or 1,180; the ceiling is 3,101.
    pdf = class_sheet(job, result, facts=facts)
    text = read(pdf)
    for given in ("19 1/2 in", "19,000 ft/min", "1.2", "3,405; 3,412; 3,408", "Guess, then measure"):
        assert given in text
    for answer in ("1,200", "1,180", "3,101", "3,154", "Fails", "answers"):
        assert answer not in text
        assert answer.encode() not in pdf


def test_the_answers_are_on_the_sheet_that_has_them(job, result, facts, read):
    text = read(class_sheet(job, result, facts=facts, answers=True))
    for answer in ("by outside diameter: 1,200 rpm", "by datum diameter: 1,180 rpm", "3,101 rpm", "Fails"):
        assert answer in text


def test_the_class_sheet_speaks_german(job, result, facts, read):
    text = read(class_sheet(job, result, facts=facts, voice=paper_voice("de")))
    assert "Erst schätzen, dann messen" in text
    assert "Was hat getäuscht?" in text
