"""The customer's letter in plain words, and the tag that stays on the machine."""

import subprocess
from dataclasses import replace

import pytest
import segno
from PIL import Image

from snath.decisions.job.assemble import job_for
from snath.decisions.job.job import Stage
from snath.decisions.job.work import work
from snath.rules.load import shipped_rules
from snath.shop.paper.job_sheet import job_sheet
from snath.shop.paper.letter import customer_letter
from snath.shop.paper.square import square_code
from snath.shop.paper.tag import machine_tag
from snath.shop.paper.voices import paper_voice
from tests.shop.paper.conftest import machine, taken
from tests.told import refused

QUESTIONS = (
    "Why is it slower than before?",
    "Can it be turned up?",
    "May I fit a longer blade, or one with a higher lift?",
    "Is my warranty still good?",
)


def test_the_four_questions_are_always_asked(job, result, facts, read):
    bare = job_for(machine(), shipped_rules())
    for text in (
        read(customer_letter(job, result, facts=facts)),
        read(customer_letter(bare, work(bare), facts=facts)),
    ):
        for question in QUESTIONS:
            assert question in text


def test_found_set_and_meant_are_told_with_the_sheets_own_figures(job, result, facts, read):
    # By hand: pi x 19.5 in x 1.2 x 3,408.3 rpm = 20,880 ft/min by the worse of the two ways to reckon.
    text = read(customer_letter(job, result, facts=facts))
    assert "To M. Example" in text
    assert "The engine ran at 3,408 rpm" in text
    assert "20,88" in text.split("limit is 19,000")[0]
    assert "That was too fast for this part: deck blade." in text
    assert "never run above 3,101 rpm" in text
    assert "It is set to 3,000 rpm" in text
    assert "it moved faster than its limit" in text
    assert "19 1/2 in (495.3 mm)" in text


def test_a_machine_that_was_only_off_its_makers_figure_is_not_called_dangerous(job, facts, read):
    # 3,090 is under the ceiling of 3,101 and outside the maker's 3,000 plus 75.
    off = replace(job, as_found=Stage((taken(3090, 3091, 3089),)))
    text = read(customer_letter(off, work(off), facts=facts))
    assert "That is not what its maker asks for." in text
    assert "which is what its maker asks for" in text
    assert "faster than its limit" not in text


def test_a_machine_that_was_not_faster_is_not_said_to_be_slower(job, facts, read):
    slow = replace(job, as_found=Stage((taken(2801, 2800, 2799),)))
    assert "It is not, by what we read" in read(customer_letter(slow, work(slow), facts=facts))


@pytest.mark.parametrize(
    ("outcome", "said"),
    [
        ("customer declined", "You asked us to leave it as it was found. Please do not use it."),
        ("not adjustable here", "It cannot be adjusted here"),
        ("accident machine: read only", "This machine was in an accident."),
    ],
)
def test_what_was_not_done_is_told_and_no_setting_claimed(job, facts, read, outcome, said):
    left = replace(job, outcome=outcome, as_left=Stage())
    text = read(customer_letter(left, work(left), facts=facts))
    assert said in text
    assert "It is set to" not in text
    assert "Please do not use it." in text


def test_a_machine_that_could_not_be_set_is_told_why(facts, read):
    stop = job_for(machine(figure=3400), shipped_rules(), market="US")
    text = read(customer_letter(stop, work(stop), facts=facts))
    assert "the maker's figure does not fit the limits of the parts" in text


def test_the_letter_fits_one_sheet_in_both_languages(job, result, facts, paged):
    for language in ("en", "de"):
        for paper in ("a4", "us-letter"):
            assert (
                len(
                    paged(customer_letter(job, result, facts=facts, paper=paper, voice=paper_voice(language)))
                )
                == 1
            )


def test_german_letter_asks_the_same_four(job, result, facts, read):
    text = read(customer_letter(job, result, facts=facts, voice=paper_voice("de")))
    for part in ("Warum ist sie langsamer", "höher drehen", "längeres Messer", "Garantie", "3.408 1/min"):
        assert part in text


def test_the_tag_shows_target_and_ceiling_of_a_proven_machine(job, result, facts, read):
    text = read(machine_tag(job, result, facts=facts))
    assert text.count("LEFT AT 3,000") == 2
    assert text.count("SET TO 3,000") == 2
    assert text.count("NEVER ABOVE 3,101") == 2
    assert "Set on 2026-06-12" in text


def test_a_machine_that_came_in_right_is_left_at_what_it_was_found_at(job, facts, read):
    came_right = replace(job, as_found=job.as_left, as_left=Stage())
    text = read(machine_tag(came_right, work(came_right), facts=facts))
    assert text.count("LEFT AT 3,000") == 2
    assert "Read on 2026-06-12" in text
    assert "Set on" not in text
    sheet = read(job_sheet(came_right, work(came_right), facts=facts))
    assert "As left: as it was found." in sheet
    assert "As left: not read" not in sheet


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"outcome": "customer declined"}, "customer declined. Do not use."),
        ({"as_left": Stage((taken(3408, 3409, 3407),))}, "DO NOT USE"),
        ({"as_left": Stage((taken(3070),))}, "SETTING NOT PROVEN"),
        ({"as_left": Stage((taken(3090, 3091, 3089),))}, "OUTSIDE MAKER"),
        ({"as_left": Stage(), "as_found": Stage()}, "SETTING NOT PROVEN"),
    ],
)
def test_a_machine_that_is_not_proven_gets_no_figure_to_set(job, facts, read, change, said):
    changed = replace(job, **change)
    text = read(machine_tag(changed, work(changed), facts=facts))
    assert said in text
    assert "3,000 rpm" not in text


# By hand: the lines that stand on this tag beside the square.
FIGURES = "\n".join(
    [
        *(
            "Meadow 36",
            "MR-0412",
            "LEFT AT 3,000 rpm",
            "NEVER ABOVE 3,101 rpm",
            "SET TO 3,000 rpm",
            "Set on 2026-06-12",
            "Job 2041",
        ),
        "Lindenhof Small Engines",
    ]
)


@pytest.mark.parametrize(
    ("opens", "wide", "text"),
    [(True, 24, lambda facts: facts.opens), (False, 34, lambda _: FIGURES)],
    ids=["the address on top", "the figures alone"],
)
def test_the_square_on_paper_is_the_one_of_its_text(job, result, facts, tmp_path, opens, wide, text):
    facts = facts if opens else replace(facts, opens="")
    # Another road: the printed page is read back module by module and held against the library's own matrix.
    file = tmp_path / "tag.pdf"
    file.write_bytes(machine_tag(job, result, facts=facts))
    subprocess.run(
        ["pdftoppm", "-r", "300", "-gray", "-singlefile", "-png", str(file), str(tmp_path / "tag")],
        check=True,
    )
    with Image.open(tmp_path / "tag.png") as image:
        page = image.convert("L").point(lambda p: 255 if p < 128 else 0)
    matrix = [list(row) for row in segno.make(text(facts), error="q", micro=False).matrix]
    size = len(matrix)
    # So many mm hold the modules and four of white on each side.
    module = wide / 25.4 * 300 / (size + 8)
    left, top = _corner(page, round(module * 7))
    seen = [
        [
            int(page.getpixel((round(left + (x + 0.5) * module), round(top + (y + 0.5) * module))) > 128)
            for x in range(size)
        ]
        for y in range(size)
    ]
    assert seen == matrix


def _corner(page, side):
    """Top left of the first finder pattern: a dark run of seven modules in a row and in a column."""
    width, height = page.size
    data = page.tobytes()
    dark = b"\xff" * (side - 2)
    for y in range(height):
        row = data[y * width : (y + 1) * width]
        x = row.find(dark)
        while x >= 0:
            if row[x + side + 2] == 0 and all(data[(y + i) * width + x + 1] for i in range(side - 2)):
                return x, y
            x = row.find(dark, x + side)
    raise AssertionError("no square on the page")


def test_without_an_address_the_tag_says_why_nothing_is_opened(job, result, facts, read):
    alone = read(machine_tag(job, result, facts=replace(facts, opens="")))
    assert "the record of job" not in alone
    assert "answers on its own computer only" in alone
    assert "the record of job" in read(machine_tag(job, result, facts=facts))


@pytest.mark.parametrize("address", ["", "x" * 201])
def test_an_address_no_tag_can_bear_is_refused(address):
    with refused("1 to 200 characters"):
        square_code(address)
