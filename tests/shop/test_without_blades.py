"""A machine without blades is spoken of without them: on no surface does the word stand, in no language.

Property over every example sheet and every job of the demo shop that has none: what a pump, a generator, a saw, a
tiller or a brush cutter with disc and string can mean by "blades in air" nobody at its bench would guess.
"""

import re
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner
from django.test import Client

from snath.decisions.behaviour.asked import ChecklistInput
from snath.decisions.job.assemble import job_for
from snath.decisions.job.job import Job, Stage
from snath.decisions.job.work import work
from snath.decisions.machine.clutch import conditions
from snath.decisions.machine.condition_words import bladed
from snath.decisions.machine.sheet import read_sheet
from snath.decisions.reading.instruments import Instrument
from snath.decisions.reading.typed import typed_reading
from snath.rules.load import shipped_rules
from snath.shop.bench.demo.fill import fill_once
from snath.shop.bench.jobs.kept import newest
from snath.shop.cli import job as command
from snath.shop.cli.main import main
from snath.shop.files.job_file import JobFile
from snath.shop.files.job_schema import FactsTable
from snath.shop.paper.class_sheet import class_sheet
from snath.shop.paper.facts import SheetFacts
from snath.shop.paper.job_sheet import job_sheet
from snath.shop.paper.letter import customer_letter
from snath.shop.paper.tag import machine_tag
from snath.shop.paper.voices import paper_voice
from snath.shop.records.models import JobRecord
from snath.words.tables import LANGUAGES
from tests.shop.test_one_word import kept, text_of

pytestmark = pytest.mark.django_db
SHEETS = [
    path
    for path in sorted(Path("examples").glob("*.toml"))
    if not bladed(read_sheet(path.read_text("utf-8")))
]
BLADE = {
    "en": re.compile(r".{0,40}blade.{0,40}", re.IGNORECASE),
    "de": re.compile(r".{0,40}\b(?:messer|klinge).{0,40}", re.IGNORECASE),
}
TACHOMETER = Instrument("t", "optical", "optical", accuracy=0.001, digits=1 / 60, resolution=1 / 60)
PAGES = (
    *("window/", "verdict/", "reading/", "listen/", "strobe/", "sheet/", "what-if/", "versions/"),
    *("running/", "running/checks/", "running/governor/", "running/setting/"),
)
FACTS = SheetFacts(number="7", customer="Mill Lane", read_by="A.", set_by="B.")


def read_everywhere(sheet: Path) -> Job:
    """The machine read as found and as left in every condition it has, checked, one reading taken back."""
    job = job_for(read_sheet(sheet.read_text("utf-8")), shipped_rules(), market="US")
    shafts = (job.machine.shafts[0], job.machine.shafts[-1])
    taken = tuple(
        typed_reading([speed / 60], condition=one, instrument=TACHOMETER)
        for one in conditions(job.machine)
        for speed in (3400, 3900)
    )
    top = typed_reading([3100 / 60], instrument=TACHOMETER)
    at_end = typed_reading([3200 / 60], shaft=shafts[-1], instrument=TACHOMETER)
    return replace(
        job,
        judged_on="2026-05-04",
        instruments=(TACHOMETER,),
        as_found=Stage((*taken, at_end)),
        as_left=Stage((replace(top, turned="stop screw"),)),
        behaviour=replace(job.behaviour, checklist=ChecklistInput(in_order=("as found", "as left"))),
    )


def visible(html: str) -> str:
    """What a page shows: no tags, scripts or styles."""
    bare = re.sub(r"<(script|style|title).*?</\1>", " ", html, flags=re.DOTALL)
    return re.sub(r"\s+", " ", re.sub(r"<[^>]*>", " ", bare))


def surfaces(job: Job, language: str, folder: Path, monkeypatch) -> dict[str, str]:
    """Everything that is said of the job in that language, by where it is said."""
    monkeypatch.setattr(command, "read_job_file", lambda path: JobFile(job, FactsTable()))
    result = work(job)
    said = {}
    for way in ((), ("--json",)):
        asked = ["job", "any", "--language", language, *way]
        said[" ".join(asked)] = CliRunner().invoke(main, asked, catch_exceptions=False).output
    for paper in (job_sheet, customer_letter, machine_tag, class_sheet):
        made = paper(job, result, facts=FACTS, voice=paper_voice(language))
        said[paper.__name__] = text_of(made, folder)
    client = Client(headers={"host": "localhost", "accept-language": language})
    number = kept(job, result)
    for page in PAGES:
        reply = client.get(f"/jobs/{number}/{page}", follow=True)
        assert reply.status_code == 200 or page == "verdict/", page
        said[page] = visible(reply.content.decode())
    return said


def holds(job: Job, folder: Path, monkeypatch) -> None:
    found = {}
    for language in LANGUAGES:
        for place, text in surfaces(job, language, folder, monkeypatch).items():
            assert len(text) > 100, place
            if hits := BLADE[language].findall(text):
                found[place, language] = hits
    assert found == {}


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda sheet: sheet.stem)
def test_no_surface_of_an_example_without_blades_speaks_of_them(sheet, db, tmp_path, monkeypatch):
    holds(read_everywhere(sheet), tmp_path, monkeypatch)
    for asked in (
        ["window", str(sheet)],
        ["judge", str(sheet), "--condition", "no load", "--reading", "3300 rpm"],
    ):
        for way in ((), ("--json",), ("--language", "de")):
            told = CliRunner().invoke(main, [*asked, *way], catch_exceptions=False).output
            assert BLADE["de" if "de" in way else "en"].findall(told) == [], (asked, way)


def test_no_surface_of_a_demo_job_without_blades_speaks_of_them(db, tmp_path, monkeypatch):
    assert fill_once()
    jobs = [newest(number).job for number in JobRecord.objects.values_list("number", flat=True)]
    without = [job for job in jobs if not bladed(job.machine)]
    assert len(without) >= 2
    for job in without:
        holds(job, tmp_path, monkeypatch)


@pytest.mark.parametrize("machine", ["generator_2_pole", "pressure_washer"])
def test_old_words_stay_readable_beside_the_new(machine):
    asked = ["judge", f"examples/{machine}.toml", "--json", "--reading"]
    told = {
        CliRunner().invoke(main, [*asked, f"{word}3300 rpm"], catch_exceptions=False).output
        for word in ("", "blades in air: ", "no load: ", "No  Load: ")
    }
    assert len(told) == 1
    told = {
        CliRunner().invoke(main, [*asked, "3300 rpm", "--condition", word], catch_exceptions=False).output
        for word in ("cutting", "loaded")
    }
    assert len(told) == 1
