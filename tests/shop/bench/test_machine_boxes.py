"""A sheet that goes through the guided form comes back as the machine it was."""

from pathlib import Path

import pytest

from snath.decisions.machine.sheet import read_sheet
from snath.shop.bench.jobs.compose import composed
from snath.shop.bench.jobs.entries import from_sheet

EXAMPLES = sorted((Path(__file__).parents[3] / "examples").glob("*.toml"))
GEARS = """name = "geared"
kind = "tiller"
[engine]
rated_max = "3,600 rpm"
[[coupling]]
driven = "tines"
[coupling.gear]
driver_teeth = 12
driven_teeth = 36
driver_part = "G-12"
driven_part = "G-36"
"""


@pytest.mark.parametrize("sheet", [*EXAMPLES, GEARS], ids=lambda sheet: getattr(sheet, "stem", "gears"))
def test_the_boxes_lose_nothing_of_a_sheet(sheet):
    text = sheet if isinstance(sheet, str) else sheet.read_text("utf-8")
    mark = "," if 'decimal_mark = ","' in text else "."
    assert read_sheet(composed(from_sheet(text, mark), mark, "in").text) == read_sheet(text)
