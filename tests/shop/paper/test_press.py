"""The press: what is said is placed and never read, on two sizes of paper, the same bytes every time."""

import subprocess
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import pytest

from snath.shop.paper.job_sheet import job_sheet
from snath.shop.paper.press import FONTS, LONGEST, capped
from tests.told import refused

HOSTILE = (
    '#include "/etc/passwd" #read("look.typ") $x^2$ *bold* _it_ `raw` <label> @ref '
    "= heading\n- item \\ #panic() // comment /* open"
)


@pytest.mark.parametrize(
    ("paper", "size"), [("a4", "595.276 x 841.89"), ("us-letter", "612 x 792"), ("letter", "612 x 792")]
)
def test_both_papers_come_in_their_own_size(job, result, facts, info, paper, size):
    assert size in info(job_sheet(job, result, facts=facts, paper=paper))["Page size"]


def test_another_paper_is_refused_with_the_choice(job, result, facts):
    with refused("a4, us-letter"):
        job_sheet(job, result, facts=facts, paper="a3")


def test_what_people_type_is_printed_as_typed(job, result, facts, read):
    typed = replace(facts, note=HOSTILE, customer="<script>alert(1)</script> & Söhne #let x = 1")
    text = read(job_sheet(job, result, facts=typed))
    for part in (
        '#include "/etc/passwd"',
        '#read("look.typ")',
        "*bold*",
        "#panic()",
        "/* open",
        "& Söhne #let x = 1",
    ):
        assert part in text
    assert "root:" not in text


def test_the_same_sheet_is_the_same_bytes(job, result, facts):
    assert job_sheet(job, result, facts=facts) == job_sheet(job, result, facts=facts)


def test_the_pdf_is_tagged_titled_and_dated_for_archives(job, result, facts, info):
    said = info(job_sheet(job, result, facts=facts))
    assert said["Tagged"].strip() == "yes"
    assert "Job sheet" in said["Title"]
    assert said["JavaScript"].strip() == "no"


def test_a_text_without_end_is_cut_on_paper(job, result, facts, paged):
    huge = replace(facts, note="word " * 200_000, customer="x" * 100_000, seals_found="y" * 5_000)
    assert len(paged(job_sheet(job, result, facts=huge))) <= 6


def test_capping_keeps_short_texts_and_shortens_long_ones():
    assert capped({"a": ["kurz", 3, None]}) == {"a": ["kurz", 3, None]}
    assert len(capped("x" * (LONGEST + 1))) == LONGEST
    assert capped("a\x00b\x1bc\nd") == "a b c\nd"
    assert len(capped([1] * 10_000)) <= 400


def test_only_our_own_fonts_are_used_and_the_licence_lies_beside_them(job, result, facts, tmp_path):
    file = tmp_path / "sheet.pdf"
    file.write_bytes(job_sheet(job, result, facts=facts))
    fonts = subprocess.run(["pdffonts", str(file)], capture_output=True, check=True, text=True).stdout
    names = {line.split()[0].split("+")[1] for line in fonts.splitlines()[2:]}
    assert names <= {"NotoSans-Regular", "NotoSans-Bold", "NotoSansMath-Regular", "NotoSansSymbols2-Regular"}
    assert all(" yes " in line for line in fonts.splitlines()[2:])
    assert "SIL OPEN FONT LICENSE" in (FONTS / "OFL.txt").read_text()


def test_letters_of_every_european_name_and_shop_fraction_have_a_shape(job, result, facts, tmp_path):
    names = "Łukasz Çelik Ødegård Őry Ζωή Жук ½ ¾ ⅝ ≤ ≥ ± × ÷ √ → ″ ′ – — € µ Ω ² °"
    file = tmp_path / "sheet.pdf"
    file.write_bytes(job_sheet(job, result, facts=replace(facts, note=names)))
    fonts = subprocess.run(["pdffonts", str(file)], capture_output=True, check=True, text=True).stdout
    assert "DejaVu" not in fonts
    assert "Libertinus" not in fonts


def test_several_people_may_print_at_once(job, result, facts):
    # Property: what is printed does not depend on who else prints.
    def sheet(number):
        return job_sheet(job, result, facts=replace(facts, number=number))

    numbers = [str(i) for i in range(12)]
    with ThreadPoolExecutor(4) as threads:
        assert list(threads.map(sheet, numbers)) == [sheet(number) for number in numbers]
