"""Does any line of a paper lie over another, with long names and in the longer language?"""

import re
import subprocess
from dataclasses import replace

import pytest

from snath.decisions.job.job import Stage
from snath.decisions.job.work import work
from snath.shop.paper.job_sheet import job_sheet
from snath.shop.paper.letter import customer_letter
from snath.shop.paper.tag import machine_tag
from snath.shop.paper.voices import paper_voice

WORD = re.compile(r'<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">(.*?)</word>')
LONG = {
    "shop": "Small Engines and Garden Machines at the Old Dairy",
    "customer": "Parish council of Lower and Upper Lindenhof",
    "set_by": "Johanna Meierhofer-Brandt",
    "opens": "http://192.168.178.24:8000/r/9f1c2d34-6f8c-4b8e-8a01-2d3c4b5a6978/",
}


def laid_over(pdf: bytes) -> list[tuple[str, str]]:
    """Words of like size whose boxes share a third of their height. Large figures have boxes higher than they are."""
    text = subprocess.run(["pdftotext", "-bbox", "-", "-"], input=pdf, capture_output=True, check=True).stdout
    found = []
    for page in text.decode().split("<page")[1:]:
        words = sorted(
            ((*map(float, hit[:4]), hit[4]) for hit in WORD.findall(page)), key=lambda word: word[1]
        )
        for at, (left, top, right, bottom, word) in enumerate(words):
            for other_left, other_top, other_right, other_bottom, other in words[at + 1 :]:
                if other_top >= bottom:
                    break
                heights = sorted((bottom - top, other_bottom - other_top))
                across = min(right, other_right) - max(left, other_left)
                down = min(bottom, other_bottom) - other_top
                if across > 1 and down > 0.3 * heights[0] and heights[1] < 1.5 * heights[0]:
                    found.append((word, other))
    return found


@pytest.mark.parametrize("language", ["en", "de"])
@pytest.mark.parametrize("paper", [machine_tag, customer_letter, job_sheet])
def test_no_line_lies_over_another(job, facts, paper, language):
    long_named = replace(job, machine=replace(job.machine, name="Ride-on mower, front deck, 36 in"))
    uncovered = replace(long_named, machine=replace(long_named.machine, kind="tiller"))
    for given in (long_named, uncovered, replace(long_named, as_found=Stage(), as_left=Stage())):
        assert (
            laid_over(paper(given, work(given), facts=replace(facts, **LONG), voice=paper_voice(language)))
            == []
        )
