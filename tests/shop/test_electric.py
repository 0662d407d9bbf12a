"""A machine with an electric motor is cautioned as one: its plug or battery, and nothing an engine has."""

from pathlib import Path

import pytest
from click.testing import CliRunner

from snath.decisions.job.assemble import job_for
from snath.decisions.machine.sheet import read_sheet
from snath.rules.load import shipped_rules
from snath.shop.cli.main import main
from snath.shop.paper.blocks import CAUTIONS
from snath.shop.paper.voices import paper_voice

SHEET = Path("examples/electric_mower.toml")
OF_AN_ENGINE = {
    "en": ("plug lead", "muffler", "exhaust", "carburettor", "fuel"),
    "de": ("Zündkabel", "Schalldämpfer", "Auspuff", "Vergaser", "Benzin"),
}
PULLED = {"en": "plug pulled", "de": "Netzstecker gezogen"}


@pytest.mark.parametrize("language", OF_AN_ENGINE)
def test_terminal_and_paper_caution_an_electric_machine_by_plug_and_battery(language):
    ways = (["window", str(SHEET)], ["judge", str(SHEET), "--reading", "3300 rpm", "--u", "10 rpm"])
    told = [CliRunner().invoke(main, [*way, "--language", language]).output for way in ways]
    voice = paper_voice(language).about(job_for(read_sheet(SHEET.read_text("utf-8")), shipped_rules()))
    paper = " ".join(voice.say(f"caution.{name}") for name in CAUTIONS)
    assert PULLED[language] in told[0]
    assert PULLED[language] in paper
    assert [word for word in OF_AN_ENGINE[language] for text in (*told, paper) if word in text] == []
