"""Is an answer drawn into the file that was named, as the kind its name says?"""

import xml.etree.ElementTree as ET
from pathlib import Path

import pytest
from click.testing import CliRunner

from snath.shop.cli.main import main
from tests.house.sources import ROOT

JOBS = ROOT / "examples/jobs"
BELT, MOWER = str(ROOT / "examples/belt_28_inch.toml"), str(JOBS / "sheets/walk_behind_21.toml")
STOP = ("stop", MOWER, str(JOBS / "tracks/stop_left.csv"), "--device", "flywheel brake")
ASKED = {
    "window": ("window", BELT),
    "drive": ("drive", BELT, "--stock", str(ROOT / "examples/stock")),
    "governor": ("governor", "--track", str(JOBS / "tracks/surging_found.csv"), "--track-load", "no load"),
    "stop": STOP,
    "throw": ("throw", "--blade", "21 in", "--found", "3850 rpm"),
}


def drawn(tmp_path: Path, name: str, *asked: str):
    place = tmp_path / name
    done = CliRunner().invoke(main, [*asked, "--plot", str(place)])
    return done, place


@pytest.mark.parametrize("asked", ASKED.values(), ids=ASKED)
def test_an_answer_is_drawn_with_its_own_words(tmp_path, asked):
    done, place = drawn(tmp_path, "plot.svg", *asked, "--language", "de")
    assert done.exit_code in (0, 1, 3), done.output
    picture = ET.parse(place).getroot()  # written by us
    assert picture.tag.endswith("svg")
    described = next(child.text for child in picture if child.tag.endswith("desc"))
    assert any(word in described for word in ("Kurbelwelle", "Riemen", "wie vorgefunden", "Drehzahl")), (
        described
    )


def test_a_png_is_one_and_white_at_its_edge(tmp_path):
    from PIL import Image

    done, place = drawn(tmp_path, "plot.PNG", "window", BELT)
    assert done.exit_code == 0, done.output
    with Image.open(place) as picture:
        assert picture.format == "PNG"
        assert picture.width > 1000
        assert picture.convert("RGB").getpixel((2, 2)) == (255, 255, 255)
        assert picture.convert("L").getextrema()[0] < 60  # and something stands on it


@pytest.mark.parametrize("name", ["plot.jpg", "plot", "no/such/folder/plot.svg"])
def test_what_cannot_be_drawn_or_written_is_told(tmp_path, name):
    done, place = drawn(tmp_path, name, "window", BELT)
    assert done.exit_code == 2
    assert done.stderr.startswith("plot = ")
    assert not place.exists()


def test_without_speed_over_time_there_is_nothing_to_draw(tmp_path):
    done, place = drawn(tmp_path, "plot.svg", "governor", "--no-load", "3750 rpm", "--loaded", "3600 rpm")
    assert done.exit_code == 2
    assert "track" in done.stderr
    assert not place.exists()
