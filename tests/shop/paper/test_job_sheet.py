"""The job sheet says everything that may be asked in years, and no figure that the core did not give."""

from dataclasses import replace

import pytest

from snath.decisions.job.assemble import job_for
from snath.decisions.job.job import Evidence, Stage
from snath.decisions.job.work import work
from snath.rules.load import shipped_rules
from snath.shop.paper.blocks import head
from snath.shop.paper.facts import SheetFacts
from snath.shop.paper.job_sheet import job_sheet
from snath.shop.paper.voices import paper_voice
from snath.words.render import ENGLISH, say
from tests.shop.paper.conftest import TACHOMETER, machine, taken


def test_the_figures_are_the_ones_worked_by_hand(job, result, facts, read):
    # By hand: ceiling 3,101.5 down to 3,101; readings (3405 + 3412 + 3408) / 3 = 3,408.3 and 3,000.3.
    text = read(job_sheet(job, result, facts=facts))
    assert "Never above 3,101" in text
    assert "Set to 3,000" in text
    assert "As found 3,408" in text
    assert "As left 3,000" in text


def test_machine_papers_people_and_seals_are_on_it(job, result, facts, read):
    text = read(job_sheet(job, result, facts=facts))
    for part in (
        "Lindenhof Small Engines", "Job 2041", "version 2", "snath ", "printed 2026-06-13", "3b1f" * 16,
        "Meadow 36", "MR-0412", "K2-14", "412.6 h", "MX-19-HL", "sharpened, balanced, no crack", "M. Example",
        "manual MX, 3rd edition, page 24", "A. Mechanic", "B. Mechanic", "O. Owner", "paint seal broken",
        "red paint, one dot", "governor.jpg", "ab12" * 16, "Judged on 2026-06-12",
    ):  # fmt: skip
        assert part in text, part


def test_a_version_that_another_program_saved_is_printed_with_a_word_on_its_words(job, result, facts):
    def footer(kept: str) -> str:
        return head(job, result, replace(facts, kept_by=kept), paper_voice("en"))["footer"]

    assert "saved with snath 0.0.9: words may differ from earlier prints" in footer("snath 0.0.9")
    assert "earlier prints" not in footer(result.program) + footer("")


def test_lengths_and_speeds_stand_in_both_systems(job, result, facts, read):
    # By hand: 19.5 in = 495.3 mm; 19,000 ft/min = 96.52 m/s.
    text = read(job_sheet(job, result, facts=facts))
    assert "19 1/2 in (495.3 mm)" in text
    assert "19,000 ft/min (96.52 m/s)" in text


def test_the_arithmetic_of_the_binding_member_is_written_out(job, result, facts, read):
    text = read(job_sheet(job, result, facts=facts))
    for line in next(b for b in result.window.bounds if b.member == "deck blade" and b.worst).working:
        assert say(line, ENGLISH) in text


def test_a_rule_that_was_not_read_says_so(job, result, facts, read):
    text = read(job_sheet(job, result, facts=facts))
    assert "ANSI/OPEI B71.1, clause on blade speed" in text
    assert "known from memory; we have not read the text" in text
    assert [rule.id for rule in job.rules if rule.id in text] == []


def test_readings_stand_with_their_budget_and_single_values(job, result, facts, read):
    text = read(job_sheet(job, result, facts=facts))
    assert "Single readings: 3,405; 3,412; 3,408." in text
    assert "T1: accuracy" in text
    assert "scatter of 3 readings" in text
    assert "bench tachometer, typed" in text


def test_as_found_fails_and_as_left_passes_side_by_side(job, result, facts, read):
    text = read(job_sheet(job, result, facts=facts))
    assert "As found: Fails." in text
    assert "As left: Passes." in text
    assert "over 99.9 %" in text


def test_every_caution_is_on_it(job, result, facts, read):
    text = read(job_sheet(job, result, facts=facts))
    for part in (
        "Every plug lead off and grounded", "Block the blade", "Never under a jack alone", "Guards", "outdoors",
        "under a running deck", "The maker's manual, local codes and licensed practice come before this sheet",
    ):  # fmt: skip
        assert part in text


@pytest.mark.parametrize(
    ("outcome", "said"),
    [
        ("customer declined", "Left as found: customer declined. Do not use."),
        ("not adjustable here", "Left as found: not adjustable here. Do not use."),
        ("accident machine: read only", "Accident machine: read only."),
    ],
)
def test_an_outcome_other_than_set_is_loud_on_the_first_page(job, result, facts, paged, outcome, said):
    first = paged(job_sheet(replace(job, outcome=outcome), result, facts=facts))[0]
    assert said in first


def test_a_machine_after_an_accident_is_told_no_setting(job, result, facts, read):
    text = read(job_sheet(replace(job, outcome="accident machine: read only"), result, facts=facts))
    assert "Set to 3,000 between" not in text


def test_a_makers_figure_over_the_ceiling_says_stop_and_what_would_help(facts, read):
    job = replace(job_for(machine(figure=3400), shipped_rules(), market="US"), judged_on="2026-06-12")
    result = work(job)
    assert result.window.setting == "stop"
    text = read(job_sheet(job, result, facts=facts))
    assert "Set to stop" in text
    assert "Any one of these would open the window" in text
    assert "maker's approval needed" in text


def test_a_job_without_any_reading_or_fact_prints_and_says_what_is_missing(read):
    job = job_for(machine(), shipped_rules())
    text = read(job_sheet(job, work(job), facts=SheetFacts()))
    assert text.count("not noted") >= 5
    assert "As found not read" in text
    assert "nothing was judged" in text


def test_simple_acceptance_is_printed_in_capitals(job, facts, read):
    loose = replace(job, decision="simple acceptance")
    assert "SIMPLE ACCEPTANCE" in read(job_sheet(loose, work(loose), facts=facts))


def test_an_indication_is_called_one(job, facts, read):
    heard = replace(taken(3000), method="sound", repeats=(), confirmed=False)
    lone = replace(job, as_left=Stage((heard,)))
    text = read(job_sheet(lone, work(lone), facts=facts))
    assert "An indication only, not confirmed." in text
    assert "As left: Not decided." in text


def test_evidence_of_the_job_is_listed_with_its_whole_hash(job, result, facts, read):
    kept = replace(job, evidence=(Evidence("cd34" * 16, "audio/wav", note="idle and top"),))
    text = read(job_sheet(kept, result, facts=facts))
    assert "cd34" * 16 in text
    assert "idle and top" in text


def test_a_usual_job_takes_two_sheets_at_most_on_either_paper(job, result, facts, paged):
    for paper in ("a4", "us-letter"):
        assert len(paged(job_sheet(job, result, facts=facts, paper=paper))) <= 2


def test_two_readings_of_one_state_show_the_one_in_the_makers_condition(job, facts, read):
    both = replace(
        job, as_left=Stage((taken(3111, 3112, 3110, condition="blades off"), *job.as_left.readings))
    )
    text = read(job_sheet(both, work(both), facts=facts))
    assert "3,111" in text
    assert "As left 3,000" in text


def test_german_is_german_throughout(job, result, facts, read):
    text = read(job_sheet(job, result, facts=facts, voice=paper_voice("de")))
    for part in (
        "Auftragsblatt", "Nie über 3.101", "Einstellen auf 3.000", "Beurteilt am 12.06.2026", "Nicht in Ordnung",
        "495,3 mm (19 1/2 in)", "96,52 m/s (19.000 ft/min)", "aus dem Gedächtnis; den Wortlaut haben wir nicht gelesen",
        "Jedes Zündkabel ab", "Aufsitz-Sichelmäher",
    ):  # fmt: skip
        assert part in text, part
    for english in ("Never above", "Job sheet", "Before anything", "Signed"):
        assert english not in text


def test_the_instrument_of_the_sheet_is_the_one_of_the_job():
    assert TACHOMETER.id == "T1"


def test_two_sizes_that_are_one_are_reckoned_once(facts, read):
    deck = machine(figure=3000)
    size = deck.members[0].sizes[0]
    twice = replace(deck.members[0], sizes=(size, replace(size, name="new, largest the maker lists")))
    job = job_for(replace(deck, members=(twice,)), shipped_rules(), market="US")
    text = read(job_sheet(job, work(job), facts=facts))
    assert text.count("÷ 1.2 (by outside diameter)") == 1
