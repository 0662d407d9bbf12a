"""Work a whole job from its file."""

from collections.abc import Iterable

from snath.decisions.job.result import Result
from snath.decisions.job.work import work as work_of
from snath.decisions.window.window import Window
from snath.face.faults import language_of, plainly
from snath.face.files import File, name_of
from snath.face.windowed import Windowed
from snath.quantities.message import Message
from snath.shop.answers.facts import answered_as
from snath.shop.answers.heads import bench_caution, running_caution, window_head
from snath.shop.answers.job import JobAnswer, job_answer
from snath.shop.answers.job_head import job_head
from snath.shop.files.job_file import read_job_file


class Job(Windowed, JobAnswer):
    __doc__ = JobAnswer.__doc__

    _result: Result

    @property
    def _window(self) -> Window:
        return self._result.window  # of the machine as left

    def _rows(self) -> Iterable[object]:
        return self.window.members

    def _head(self) -> Iterable[Message]:
        return (*job_head(self._result.stands), *window_head(self._result.window))

    def _foot(self) -> Iterable[Message | str]:
        stands, machine = self._result.stands, self._job.machine
        notes = (*self._result.window.notes, *self._result.notes)
        return (*stands.reasons, *stands.settle, *notes, bench_caution(machine), running_caution(machine))


@plainly
def work(job: File, *, language: str = "en") -> Job:
    """Work a whole job: its window, the verdicts as found and as left, and its one word.

    Parameters
    ----------
    job : str or path
        The job file (see docs/jobs.md); its sheet, tracks and recordings are named from its folder.
    language : str
        Of the answer: "en" or "de".

    Returns
    -------
    Job
        `.word` is "pass", "fail", "undecided", "blocked" or None where nothing was read.

    Raises
    ------
    InputError
        With every fault of the file or its sheet, each with its line.

    See Also
    --------
    judge : Readings alone, without a job around them.

    References
    ----------
    docs/jobs.md and docs/verdict.md: what is judged, and by which rules.

    Examples
    --------
    >>> snath.work("examples/jobs/walk_behind_left_at_3600.toml").word
    'pass'
    """
    locale = language_of(language)
    asked = read_job_file(name_of("job", job)).job
    locale = answered_as(locale, decimal_mark=asked.decimal_mark, metric=asked.machine.metric)
    result = work_of(asked)
    return Job._made(job_answer(asked, result, locale), locale, _job=asked, _result=result)
