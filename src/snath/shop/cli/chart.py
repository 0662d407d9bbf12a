"""`snath chart`: a wall chart of speed by blade size."""

from typing import Any

import click

from snath.decisions.job.program import PROGRAM
from snath.quantities.measured import Measured
from snath.quantities.numbers import DecimalMark
from snath.quantities.units import parse, parse_quantity, show
from snath.shop.answers.speeds import floor_rpm
from snath.shop.cli.answer import answer, answers_plainly, reader
from snath.shop.cli.common import book_options, decimal_option, paper_option, write_bytes
from snath.shop.files.shop_rules import rule_book
from snath.shop.paper.voices import paper_voice
from snath.shop.paper.wall_chart import ChartRow, chart_rows, sizes_between, wall_chart

STEPS = {"in": 0.0254, "ft": 0.0254}  # m; metric sizes go by 20 mm
METRIC_STEP = 0.020


@click.command()
@click.option("--from", "smallest", required=True, help='Smallest blade, as "16 in".')
@click.option("--to", "largest", required=True, help='Largest blade, as "30 in".')
@click.option("--step", help='From one size to the next; "1 in" or "20 mm" where it is left out.')
@click.option("--width", help="Blade width, for bars with square ends; sizes are then square across.")
@click.option("--rule", "rule_id", help="Id of the row to use in place of those in scope.")
@click.option("--pdf", required=True, help="Write the chart here.")
@paper_option
@book_options
@decimal_option
@answers_plainly
def chart(
    smallest: str,
    largest: str,
    step: str | None,
    width: str | None,
    rule_id: str | None,
    pdf: str,
    paper: str,
    market: str,
    rules: str | None,
    decimal_mark: DecimalMark,
    as_json: bool,
) -> None:
    """Speed that each size of blade must never pass, as a wall chart."""
    first = parse_quantity(smallest, dimension="length", field="from", decimal_mark=decimal_mark)
    last = _length(largest, "to", decimal_mark)
    each = STEPS.get(first.unit, METRIC_STEP) if step is None else _length(step, "step", decimal_mark).value
    bar = None if width is None else _length(width, "width", decimal_mark).value
    sizes = sizes_between(first.measured.value, last.value, each)
    rows = chart_rows(sizes, rule_book(rules, decimal_mark), width=bar, market=market, only=rule_id)
    voice = paper_voice(reader().language)
    write_bytes(pdf, wall_chart(rows, width=bar, paper=paper, voice=voice, program=PROGRAM), "pdf")
    answer(
        _data(rows, pdf),
        _text(rows, pdf, decimal_mark, unit="in" if first.unit in STEPS else "mm"),
        as_json=as_json,
    )


def _length(text: str, field: str, decimal_mark: DecimalMark) -> Measured:
    return parse(text, dimension="length", field=field, decimal_mark=decimal_mark)


def _data(rows: tuple[ChartRow, ...], pdf: str) -> dict[str, Any]:
    rule = rows[0].rule
    return {
        "pdf": pdf,
        "rule": rule.id,
        "standing": rule.standing,
        "tip_speed_printed": rule.printed,
        "rows": [
            {
                "blade_m": round(row.blade, 6),
                "tip_circle_m": round(row.circle, 6),
                "rpm": floor_rpm(row.ceiling),
            }
            for row in rows
        ],
    }


def _text(rows: tuple[ChartRow, ...], pdf: str, decimal_mark: DecimalMark, *, unit: str) -> str:
    rule = rows[0].rule
    lines = [
        f"{show(row.blade, unit, digits=2 if unit == 'in' else 0, decimal_mark=decimal_mark):>10}"
        f"{show(row.ceiling, 'rpm', round='down', decimal_mark=decimal_mark):>12}"
        for row in rows
    ]
    return "\n".join(
        [
            "Speed of the blade, never above, nothing being cut:",
            *lines,
            f"Rule {rule.id}: {rule.printed}, {rule.source} (known: {rule.standing}).",
            f"Written: {pdf}",
        ]
    )
