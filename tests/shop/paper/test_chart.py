"""The wall chart, on paper and by command."""

import json

import pytest
from click.testing import CliRunner

from snath.rules.load import shipped_rules
from snath.shop.cli.chart import chart
from snath.shop.paper.wall_chart import chart_rows, sizes_between, wall_chart
from tests.told import refused

INCH = 0.0254

# By hand: 19,000 x 12 / (pi L), rounded down. 28 in: 2,591.95, so 2,592 is already over.
BY_HAND = {18: 4031, 19: 3819, 20: 3628, 21: 3455, 22: 3298, 28: 2591}


def test_every_row_is_the_limit_worked_by_hand_and_rounded_down(read):
    rows = chart_rows([n * INCH for n in BY_HAND], shipped_rules(), market="US")
    text = read(wall_chart(rows))
    for inches, rpm in BY_HAND.items():
        assert f"{inches} in" in text
        assert f"{rpm:,}" in text
    assert "558.8 mm" in text


def test_a_square_ended_bar_is_slower_than_its_length_says(read):
    # By hand: sqrt(21^2 + 3^2) = 21.213 in; 19,000 x 12 / (pi 21.213) = 3,421.2.
    rows = chart_rows([21 * INCH], shipped_rules(), width=3 * INCH, market="US")
    text = read(wall_chart(rows, width=3 * INCH))
    assert "3,421" in text
    assert "3 in (76.2 mm) wide" in text


def test_the_rule_stands_on_it_with_how_it_is_known(read):
    text = read(wall_chart(chart_rows([0.5], shipped_rules(), market="US")))
    assert "By ANSI/OPEI B71.1, clause on blade speed" in text
    assert "mower-tip-speed-consumer" not in text
    assert "How it is known: known from memory; we have not read the text." in text
    assert "A ceiling, not a target" in text


def test_a_historical_rule_says_that_it_clears_nothing(read):
    text = read(wall_chart(chart_rows([0.5], shipped_rules(), only="mower-tip-speed-before-1968")))
    assert "A historical row" in text


def test_sixty_sizes_still_fit_one_sheet(paged):
    rows = chart_rows(sizes_between(12 * INCH, 41.5 * INCH, INCH / 2), shipped_rules())
    assert len(rows) == 60
    for paper in ("a4", "us-letter"):
        assert len(paged(wall_chart(rows, paper=paper))) == 1


@pytest.mark.parametrize(
    ("sizes", "match"),
    [
        ((0.5, 0.4, 0.02), "at least the smallest"),
        ((0.4, 0.8, 0.001), "60 at most"),
        ((21, 22, 1), "from = 21 m"),
    ],
)
def test_sizes_that_make_no_chart_are_refused(sizes, match):
    with refused(match):
        sizes_between(*sizes)


def run(*words):
    return CliRunner().invoke(chart, list(words))


def test_the_command_writes_the_chart_and_answers_in_json(tmp_path):
    out = tmp_path / "chart.pdf"
    answered = run("--from", "20 in", "--to", "22 in", "--pdf", str(out), "--json")
    assert answered.exit_code == 0
    data = json.loads(answered.output)
    assert [row["rpm"] for row in data["rows"]] == [3628, 3455, 3298]
    assert data["standing"] == "memory"
    assert out.read_bytes().startswith(b"%PDF")


def test_metric_sizes_go_by_twenty_millimetres(tmp_path):
    answered = run(
        "--from", "46 cm", "--to", "53 cm", "--pdf", str(tmp_path / "c.pdf"), "--json", "--paper", "us-letter"
    )
    rows = json.loads(answered.output)["rows"]
    assert [row["blade_m"] for row in rows] == [0.46, 0.48, 0.5, 0.52]


@pytest.mark.parametrize(
    ("words", "field"),
    [
        (("--from", "22", "--to", "30 in"), "from"),
        (("--from", "22 in", "--to", "twenty"), "to"),
        (("--from", "30 in", "--to", "16 in"), "to"),
        (("--from", "16 in", "--to", "30 in", "--step", "0 in"), "step"),
        (("--from", "16 in", "--to", "30 in", "--rule", "no-such"), "rule"),
        (("--from", "16 in", "--to", "30 in", "--width", "40 in"), "width"),
    ],
)
def test_wrong_input_names_the_field_and_writes_nothing(tmp_path, words, field):
    out = tmp_path / "chart.pdf"
    answered = run(*words, "--pdf", str(out), "--json")
    assert answered.exit_code == 2
    assert json.loads(answered.output)["errors"][0]["field"] == field
    assert not out.exists()


def test_a_place_that_cannot_be_written_is_said(tmp_path):
    answered = run("--from", "20 in", "--to", "22 in", "--pdf", str(tmp_path / "no" / "c.pdf"))
    assert answered.exit_code == 2
    assert "pdf" in answered.output
