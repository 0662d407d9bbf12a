"""`snath drive` and `snath route` as a shop types them."""

import json
import math
import subprocess
from pathlib import Path

import pytest
from click.testing import CliRunner

from snath.shop.cli.main import main

EXAMPLES = Path(__file__).parents[2] / "examples"
STOCK = str(EXAMPLES / "stock")
DECK, RIDER = str(EXAMPLES / "deck_52_inch.toml"), str(EXAMPLES / "belt_28_inch.toml")
ROUTE = str(EXAMPLES / "routes" / "deck_52_inch.route.toml")


def run(*words):
    return CliRunner().invoke(main, [str(w) for w in words])


def test_the_deck_as_one_json_object():
    done = run("drive", DECK, "--stock", STOCK, "--json")
    assert done.exit_code == 0
    data = json.loads(done.stdout)
    first = data["drives"][0]
    assert first["original"]
    assert first["sheaves"][0]["stock_number"] == "202"
    # By hand: see tests/decisions/drive/test_choose.py, 4147.1 x 4.5 / 5.5 = 3393.1, rounded down.
    assert first["never_above_rpm"] == 3393
    assert first["pass_below_rpm"] <= 3393
    names = {r["name"] for row in first["ratios"] for r in row["alternatives"]}
    assert names == {"by outside diameter", "by datum diameter"}
    assert set(first["wraps_deg"]) == {"engine", "guide", "right", "middle", "left", "clutch idler"}
    for key in ("belt", "moving", "grip_margin", "price", "ties", "margin", "notes"):
        assert first[key] is not None
    assert data["exhaustive"]


def test_what_is_not_original_says_so_and_what_to_check_again():
    done = run("drive", DECK, "--stock", STOCK)
    assert "Not original: maker's approval." in done.stdout
    assert "check again: blade stop test, belt keepers" in done.stdout
    assert done.stdout.index("original parts") < done.stdout.index("Not original")
    assert "Before a hand goes near a blade" in done.stdout


def test_a_pair_gives_its_centre_distance():
    data = json.loads(run("drive", RIDER, "--stock", STOCK, "--json").stdout)
    for drive in data["drives"]:
        # By hand: the engine slides from x = 30 to -70 mm, the blade stands at 450.
        assert 420 <= drive["centre_mm"] <= 520
        assert drive["centre_mm"] == pytest.approx(450 - drive["moving"]["x_mm"], abs=0.02)


def test_bad_rows_are_told_and_the_rest_is_used(tmp_path):
    (tmp_path / "sheaves.csv").write_text(
        "number,section,outside,bore\n1,A,3 3/4 in,1 in key\n1,A,4 in,1 in key\n2,A,x,1 in key\n"
    )
    data = json.loads(run("drive", RIDER, "--stock", tmp_path, "--json").stdout)
    assert len(data["stock_faults"]) == 2
    assert "line 3: number = 1: stands on line 2 already" in data["stock_faults"][0]["text"]
    assert [d["sheaves"][0]["stock_number"] for d in data["drives"]] == ["1"]


def test_nothing_that_fits_is_a_failure_with_advice(tmp_path):
    (tmp_path / "sheaves.csv").write_text("number,section,outside,bore\n1,A,4 1/2 in,1 in key\n")
    done = run("drive", RIDER, "--stock", tmp_path)
    assert done.exit_code == 1
    assert "Nothing in stock will do." in done.stdout
    assert "Buy one pulley for" in done.stdout


def test_a_search_that_stops_early_is_said():
    done = run("drive", DECK, "--stock", STOCK, "--most", 1)
    assert "NOT EXHAUSTIVE" in done.stdout
    assert done.exit_code in (0, 3)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("drive", DECK, "--stock", "nowhere"), "must be a folder with sheaves.csv and belts.csv"),
        (("drive", DECK, "--stock", str(EXAMPLES)), "holds neither sheaves.csv nor belts.csv"),
        (("drive", str(EXAMPLES / "stock" / "none.toml"), "--stock", STOCK), "must be a file that exists"),
        (("route", "nowhere.toml"), "must be a file that exists"),
    ],
)
def test_wrong_input_is_told_plainly(words, said):
    done = run(*words)
    assert done.exit_code == 2
    assert said in done.output


def test_a_sheet_without_a_route_asks_for_one(tmp_path):
    sheet = tmp_path / "machine.toml"
    sheet.write_text(Path(RIDER).read_text())
    done = run("drive", sheet, "--stock", STOCK)
    assert done.exit_code == 2
    assert "name the file of its route" in done.output


def test_the_route_as_one_json_object():
    data = json.loads(run("route", ROUTE, "--json").stdout)
    # Published: Machinery's Handbook, 31st ed., p. 2575, Table 8: number + 1.3 in, so A103 has 2649.22 mm.
    assert data["length_mm"] == pytest.approx(104.3 * 25.4, abs=0.01)
    arcs = sum(
        math.radians(p["wrap_deg"]) * (p["outside_mm"] / 2 + (3.175 if p["on_the_back"] else -3.175))
        for p in data["pulleys"]
    )
    assert sum(s["length_mm"] for s in data["spans"]) + arcs == pytest.approx(data["length_mm"], abs=0.1)
    turns = {p["name"]: p["turns"] for p in data["pulleys"]}
    assert turns["engine"] == turns["left"] == "clockwise"
    assert turns["clutch idler"] == "counter-clockwise"


def test_pictures_and_the_parts_list_are_written(tmp_path):
    assert run("route", ROUTE, "--svg", tmp_path / "r.svg").exit_code == 0
    assert (
        run(
            "drive",
            DECK,
            "--stock",
            STOCK,
            "--svg",
            tmp_path / "d.svg",
            "--pdf",
            tmp_path / "d.pdf",
            "--pick",
            2,
            "--language",
            "de",
        ).exit_code
        == 0
    )
    assert (tmp_path / "r.svg").read_text().startswith("<svg")
    assert "Gepunktet: wie vorgefunden" in (tmp_path / "d.svg").read_text()
    printed = subprocess.run(["pdftotext", tmp_path / "d.pdf", "-"], capture_output=True, text=True).stdout
    assert "Teileliste für einen Riementrieb" in printed  # it came in English, whatever was asked for


def test_a_pick_beyond_the_list_is_refused(tmp_path):
    done = run("drive", DECK, "--stock", STOCK, "--svg", tmp_path / "d.svg", "--pick", 99)
    assert done.exit_code == 2
    assert "pick = 99: must be at most" in done.output


def test_a_route_out_of_one_plane_has_no_plan(tmp_path):
    mule = EXAMPLES / "routes" / "mule_drive.route.toml"
    assert run("route", mule).exit_code == 0
    done = run("route", mule, "--svg", tmp_path / "m.svg")
    assert done.exit_code == 2
    assert "only a route in one plane" in done.output
