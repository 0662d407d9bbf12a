"""`snath job`: a whole job from its file: window, verdicts as found and as left, and the sheet as PDF."""

from typing import Any

import click

from snath.decisions.job.job import Result, StageResult
from snath.decisions.job.work import work
from snath.shop.bench.core_words import speaker
from snath.shop.cli.answer import DONE, EXIT_OF, FAILED, answer, json_option, reader, speaks_plainly
from snath.shop.cli.behaviour_words import behaviour_data, behaviour_text
from snath.shop.cli.common import write_bytes
from snath.shop.cli.job_file import JobFile, read_job_file
from snath.shop.cli.judge import verdict_data
from snath.shop.cli.kept import kept_text
from snath.shop.cli.window import window_data
from snath.shop.cli.words import verdict_text, window_text
from snath.shop.paper.facts import SheetFacts
from snath.shop.paper.job_sheet import job_sheet
from snath.shop.paper.voices import paper_voice


@click.command()
@click.argument("file")
@click.option("--pdf", help="Write the job sheet here.")
@click.option("--save", help="Keep job and result here as JSON, for `snath rework` in years.")
@click.option("--paper", type=click.Choice(["a4", "us-letter"]), default="a4", show_default=True)
@json_option
@speaks_plainly
def job(file: str, pdf: str | None, save: str | None, paper: str, as_json: bool) -> None:
    """Work the whole job in FILE."""
    read = read_job_file(file)
    result = work(read.job)
    if save:
        write_bytes(save, kept_text(read.job, result).encode(), "save")
    if pdf:
        voice = paper_voice(reader().language, said=speaker(reader().language))
        sheet = job_sheet(read.job, result, facts=_facts(read), paper=paper, voice=voice)
        write_bytes(pdf, sheet, "pdf")
    answer(_data(read, result, pdf), _text(result), as_json=as_json, code=_code(result))


def _facts(read: JobFile) -> SheetFacts:
    return SheetFacts(printed_on=read.job.judged_on, **read.facts.model_dump())


def _data(read: JobFile, result: Result, pdf: str | None) -> dict[str, Any]:
    return {
        "id": read.job.id,
        "window": window_data(result),
        "as_found": _stage(result.as_found),
        "as_left": _stage(result.as_left),
        "behaviour": behaviour_data(result.behaviour),
        "pdf": pdf,
        "program": result.program,
    }


def _stage(stage: StageResult) -> dict[str, Any]:
    return {
        "stands": verdict_data(stage.stands) if stage.stands else None,
        "readings": [verdict_data(verdict) for verdict in stage.verdicts],
    }


def _text(result: Result) -> str:
    parts = [window_text(result)]
    for name, stage in (("As found", result.as_found), ("As left", result.as_left)):
        if stage.stands:
            parts.append(f"{name}\n{verdict_text(stage.stands)}")
    return "\n\n".join([*parts, *behaviour_text(result.behaviour)])


def _code(result: Result) -> int:
    """The worse of verdict (as left, else as found) and stop test; without both, whether the window is open."""
    stands, stop = result.as_left.stands or result.as_found.stands, result.behaviour.stop
    words = [one.word for one in (stands, stop) if one is not None]
    for word in ("fail", "undecided"):
        if word in words:
            return EXIT_OF[word]
    return DONE if words or result.window.feasible else FAILED
