"""A sheet, a recording and a job file made of them and worked by the command line, down to its PDF."""

import json
from pathlib import Path

from click.testing import CliRunner

from snath.shop.cli.main import main

PUMP_SET = """
name = "four-cylinder pump set"
kind = "other"
[engine]
strokes = 4
cylinders = 4
firing = "even"
rated_max = "1,800 rpm"
idle = "900 rpm"
[[member]]
name = "pump"
[member.pump]
speed_max = "{limit}"
source = "plate of an invented pump"
"""
SINGLE = """
name = "single-cylinder walk-behind"
kind = "walk-behind rotary mower"
[engine]
strokes = 4
cylinders = 1
ignition = "wasted spark"
rated_max = "4,200 rpm"
idle = "1,750 rpm"
[[member]]
name = "blade"
[member.blade]
length = "{blade}"
measured = "corner to corner"
"""

LOOKED_AT = '[checklist]\nin_order = ["as found", "as left"]\n'


def worked(folder: Path, sheet: str, recorded: str, more: str = "") -> tuple[int, dict]:
    """Exit code and JSON of a job with one recording as found; `more` goes on in the job file."""
    (folder / "sheet.toml").write_text(sheet)
    (folder / "job.toml").write_text(
        f'judged_on = "2026-01-01"\nsheet = "sheet.toml"\n[[as_found]]\nrecording = "{recorded}"\n{more}'
    )
    pdf = folder / "sheet.pdf"
    done = answered("job", str(folder / "job.toml"), "--pdf", str(pdf))
    assert pdf.read_bytes().startswith(b"%PDF")
    return done


def answered(*words: str) -> tuple[int, dict]:
    """Exit code and JSON of a command."""
    done = CliRunner().invoke(main, [*words, "--json"], catch_exceptions=False)
    return done.exit_code, json.loads(done.stdout)
