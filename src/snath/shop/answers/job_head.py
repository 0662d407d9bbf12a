"""Head the answer to a whole job: its one word, and what blocks it."""

from collections.abc import Iterator

from snath.decisions.job.stands import JobVerdict
from snath.quantities.message import Message, term


def job_head(stands: JobVerdict) -> Iterator[Message]:
    """The one word of the whole job, with what blocks it; nothing where nothing was read."""
    if stands.word:
        yield Message("terminal.this-job", word=term("verdict-word", stands.word))
        if stands.word == "blocked":
            yield Message("terminal.do-not-run")
        yield from stands.blocked_by
