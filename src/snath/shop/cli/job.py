"""`snath job`: a whole job from its file: window, verdicts as found and as left, and the sheet as PDF."""

from functools import partial

import click

from snath.decisions.behaviour.asked import StageName
from snath.decisions.job.history import histories
from snath.decisions.job.result import Result
from snath.decisions.job.stage import StageResult
from snath.decisions.job.work import work
from snath.quantities.message import Message
from snath.shop.answers.heads import running_caution
from snath.shop.answers.job import job_answer
from snath.shop.answers.job_head import job_head
from snath.shop.cli.answer import answer, answers_plainly, note_habits, reader, said
from snath.shop.cli.behaviour_words import behaviour_text
from snath.shop.cli.codes import DONE, EXIT_OF, FAILED
from snath.shop.cli.common import paper_option, write_bytes
from snath.shop.cli.history import history_lines
from snath.shop.cli.kept import kept_text
from snath.shop.cli.words import verdict_text, window_text
from snath.shop.files.job_file import JobFile, read_job_file
from snath.shop.paper.facts import SheetFacts
from snath.shop.paper.job_sheet import job_sheet
from snath.shop.paper.voices import paper_voice


@click.command()
@click.argument("file")
@click.option("--pdf", help="Write the job sheet here.")
@click.option("--save", help="Keep job and result here as JSON, for `snath rework` in years.")
@paper_option
@answers_plainly
def job(file: str, pdf: str | None, save: str | None, paper: str, as_json: bool) -> None:
    """Work the whole job in FILE."""
    read = read_job_file(file)
    note_habits(decimal_mark=read.job.decimal_mark, metric=read.job.machine.metric)
    result = work(read.job)
    if save:
        write_bytes(save, kept_text(read.job, result).encode(), "save")
    if pdf:
        voice = paper_voice(reader().language)
        sheet = job_sheet(read.job, result, facts=_facts(read), paper=paper, voice=voice)
        write_bytes(pdf, sheet, "pdf")
    data = partial(job_answer, read.job, result, reader(), pdf=pdf)
    answer(data, _text(read, result), as_json=as_json, code=_code(result))


def _facts(read: JobFile) -> SheetFacts:
    return SheetFacts(printed_on=read.job.judged_on, **read.facts.model_dump())


def _text(read: JobFile, result: Result) -> str:
    machine, told = read.job.machine, histories(read.job, result)
    head = "\n".join(map(said, job_head(result.stands)))
    window = f"{window_text(result.window, result.notes, machine)}\n{said(running_caution(machine))}"
    parts = [head, window] if head else [window]
    stages: tuple[tuple[Message, StageName, StageResult], ...] = (
        (Message("terminal.as-found"), "as found", result.as_found),
        (Message("terminal.as-left"), "as left", result.as_left),
    )
    for name, key, stage in stages:
        lines = list(history_lines(told[key], machine))
        if stage.stands:
            lines.append(verdict_text(stage.stands))
        if lines:
            parts.append("\n".join([said(name), *lines]))
    return "\n\n".join([*parts, *behaviour_text(result.behaviour)])


def _code(result: Result) -> int:
    """That of the job's word; where nothing was read, whether the window is open."""
    if result.stands.word:
        return EXIT_OF[result.stands.word]
    return DONE if result.window.feasible else FAILED
