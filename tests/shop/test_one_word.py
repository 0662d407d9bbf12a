"""One verdict, one word: terminal, JSON, exit code, page, list, sheet, letter and tag say the same of a job.

Every demo and example job is taken as it stands, and spoilt: not checked, with a fault on each kind of list, with the
fault put right, with readings over the limit. Property throughout: no surface may say what another does not.
"""

import json
import re
import subprocess
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

import pytest
from click.testing import CliRunner
from django.test import Client

from snath.decisions.behaviour.asked import ChecklistInput, Mark
from snath.decisions.job.job import Job, Stage
from snath.decisions.job.schema import job_to_json, result_to_json
from snath.decisions.job.work import work
from snath.shop.bench.demo.fill import fill_once
from snath.shop.bench.jobs.kept import newest, waits_for
from snath.shop.cli import job as command
from snath.shop.cli.codes import EXIT_OF
from snath.shop.cli.main import main
from snath.shop.files.job_file import JobFile, read_job_file
from snath.shop.files.job_schema import FactsTable
from snath.shop.paper.facts import SheetFacts
from snath.shop.paper.job_sheet import job_sheet
from snath.shop.paper.letter import customer_letter
from snath.shop.paper.tag import machine_tag
from snath.shop.records.models import JobRecord, Person
from snath.shop.records.store import open_job, save_version

pytestmark = pytest.mark.django_db
EXAMPLES = sorted(Path("examples/jobs").glob("*.toml"))
FACTS = SheetFacts(number="7")
FAULT, SHOWN = Mark("kill", "fault", "does not stop"), "Engine stop: does not stop"
PRINTED = {"pass": "Passes", "fail": "Fails", "undecided": "Not decided", "blocked": "Blocked"}
MEANT = {  # a sentence of the letter, and the word it stands for
    "As it leaves us it is inside its limits": "pass",
    "As it leaves us it is outside a limit": "fail",
    "As it leaves us it passes no limit, but": "fail",
    "As it leaves us its setting is not proven": "undecided",
    "The machine itself was not checked before it ran": "undecided",
    "Please do not use it. This is faulty": "blocked",
}


def with_checks(job: Job, checks: ChecklistInput | None) -> Job:
    return replace(job, behaviour=replace(job.behaviour, checklist=checks))


def variants(job: Job) -> Iterator[tuple[str, Job]]:
    """The job as it is, and as it might have come out."""
    given = job.behaviour.checklist or ChecklistInput()
    others = tuple(mark for mark in given.marks if mark.check != "kill")
    right = replace(FAULT, put_right="new switch", by="M.")
    yield "as it is", job
    yield "not checked", with_checks(job, None)
    yield "a fault", with_checks(job, replace(given, marks=(*others, FAULT)))
    yield "put right", with_checks(job, replace(given, marks=(*others, right)))
    if job.as_found.readings:
        yield "left as found", replace(job, as_left=Stage(job.as_found.readings))
        yield "over and a fault", with_checks(replace(job, as_left=Stage()), replace(given, marks=(FAULT,)))


@dataclass(frozen=True)
class Said:
    """What each surface says; None where it has nothing to say."""

    words: dict[str, str | None]
    texts: dict[str, str]


def text_of(pdf: bytes, folder: Path) -> str:
    file = folder / "paper.pdf"
    file.write_bytes(pdf)
    asked = ["pdftotext", "-raw", str(file), "-"]
    return " ".join(subprocess.run(asked, capture_output=True, check=True, text=True).stdout.split())


def said_of(job: Job, client: Client, folder: Path, monkeypatch) -> Said:
    monkeypatch.setattr(command, "read_job_file", lambda path: JobFile(job, FactsTable()))
    result = work(job)
    told = CliRunner().invoke(main, ["job", "any"], catch_exceptions=False)
    data = CliRunner().invoke(main, ["job", "any", "--json"], catch_exceptions=False)
    number = kept(job, result)
    page = client.get(f"/jobs/{number}/", follow=True).content.decode()
    listed = client.get("/jobs/").content.decode()
    row = re.search(rf'href="/jobs/{number}/">.*?</li>', listed, re.DOTALL)[0]
    sheet, letter, tag = (
        text_of(paper(job, result, facts=FACTS), folder)
        for paper in (job_sheet, customer_letter, machine_tag)
    )
    of = {code: word for word, code in EXIT_OF.items() if word != "blocked"}
    answer = json.loads(data.output)
    word = answer["verdict"]
    head = sheet[: sheet.index("Never above")]
    words = {
        "terminal": found(r"^This job: (\w+)$", told.output),
        "JSON": word,
        "exit code": word if word and EXIT_OF[word] == told.exit_code else of.get(told.exit_code),
        "page": found(r'data-word="(\w+)"', page),
        "list": found(r'class="chip (\w+)"', row),
        "record": JobRecord.objects.get(number=number).verdict or None,
        "sheet": next((word for word, printed in PRINTED.items() if printed in head), None),
        "letter": next((word for sentence, word in MEANT.items() if sentence in letter), None),
    }
    if "Its stop test does not let it go" in letter:
        words["letter"] = result.behaviour.stop.word
    if word is None:
        del words["exit code"]
    texts = {
        "terminal": told.output,
        "JSON": data.output,
        "page": page,
        "list": row,
        "sheet": sheet,
        "letter": letter,
        "tag": tag,
    }
    return Said(words, texts)


def kept(job: Job, result) -> int:
    who = Person.objects.local_owner()
    record = open_job(who, title="one")
    text = job_to_json(job)
    save_version(record, text, result_to_json(result), 0, who, waits_for=waits_for(job, result, False))
    return record.number


def found(pattern: str, text: str) -> str | None:
    hit = re.search(pattern, text, re.MULTILINE)
    return hit[1] if hit else None


@cache
def example(path: Path) -> Job:
    return read_job_file(str(path)).job


def check(job: Job, client: Client, folder: Path, monkeypatch, name: str) -> str | None:
    """Hold every surface of a job against the others."""
    said = said_of(job, client, folder, monkeypatch)
    word = said.words["JSON"]
    assert said.words == dict.fromkeys(said.words, word), name
    tag = said.texts["tag"]
    answer = json.loads(said.texts["JSON"])
    passed = word == "pass" and not job.outcome
    assert bool(re.search(r"LEFT AT [0-9]", tag)) == passed, name
    aim = answer["window"]["target_rpm"]
    assert bool(re.search(r"SET TO [0-9]", tag)) == (passed and aim is not None), name
    in_place = ("Do not use." if job.outcome else "DO NOT USE", "SETTING NOT PROVEN", "OUTSIDE MAKER")
    assert sum(words in tag for words in in_place) == (0 if passed else 1), name
    over = any(stage["stands"] and stage["stands"]["limits"] == "over" for stage in stages_that_count(answer))
    assert (in_place[0] in tag) == answer["do_not_use"], name
    if not job.outcome and answer["decided_by"] != "stop":
        assert answer["do_not_use"] == (over or word == "blocked"), name
        assert ("Please do not use it" in said.texts["letter"]) == answer["do_not_use"], name
    for paper in ("sheet", "letter", "tag"):
        assert [rule.id for rule in job.rules if rule.id in said.texts[paper]] == [], (name, paper)
        assert not re.search(r"give or take 0(\.0)? |± 0 ", said.texts[paper]), (name, paper)
    assert "have not read the text" not in said.texts["letter"]
    if word == "blocked":
        for place, text in said.texts.items():
            assert SHOWN in text or place == "list", (name, place)  # a row has no room for it
        assert json.loads(said.texts["JSON"])["window"]["target_rpm"] is None
        assert "data-target" not in said.texts["page"]
        assert "left at" not in said.texts["list"]
        # The stop test keeps a word of its own, on the stop alone.
        assert "Passes" not in said.texts["sheet"].partition("Stop test of the blade")[0]
        assert not re.search(r"(This job|Verdict): pass|Passes below|Set between", said.texts["terminal"]), (
            name
        )
        stages = [answer["as_found"], answer["as_left"]]
        given = [verdict for stage in stages for verdict in (stage["stands"], *stage["readings"]) if verdict]
        assert {verdict["verdict"] for verdict in given} <= {"blocked"}, name
        assert "now runs at" not in said.texts["letter"]
    return word


def stages_that_count(answer: dict) -> list[dict]:
    """As left where something stands there, else as found."""
    return [answer["as_left"]] if answer["as_left"]["stands"] else [answer["as_found"]]


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_surface_says_the_same_of_an_example(path, db, tmp_path, monkeypatch):
    client = Client(headers={"host": "localhost"})
    words = {name: check(job, client, tmp_path, monkeypatch, name) for name, job in variants(example(path))}
    assert words["as it is"] == words["put right"] == "pass"
    assert words["a fault"] == "blocked"
    assert words["not checked"] == "undecided"


def test_every_surface_says_the_same_of_the_demo_s_jobs(db, tmp_path, monkeypatch):
    assert fill_once()
    client = Client(headers={"host": "localhost"})
    numbers = list(JobRecord.objects.order_by("number").values_list("number", flat=True))
    words = set()
    for number in numbers:
        opened = newest(number)
        assert (opened.record.verdict or None) == (opened.stands.word or None)
        for name, job in variants(opened.job):
            words.add(check(job, client, tmp_path, monkeypatch, f"{opened.record.title}, {name}"))
    assert words == {"pass", "fail", "undecided", "blocked", None}
