"""A job as kept in a file: the job and its result in one JSON object."""

import json

from snath.decisions.job.job import Job, Result
from snath.decisions.job.schema import job_from_json, job_to_json, result_to_json
from snath.quantities.errors import InputError


def kept_text(job: Job, result: Result) -> str:
    """Job and result as one JSON object."""
    return f'{{"job":{job_to_json(job)},"result":{result_to_json(result)}}}'


def read_kept(text: str) -> tuple[Job, str]:
    """The job, and its result as JSON text.

    Raises
    ------
    InputError
        If the text is not such an object; InputErrors with every field of the job that is not as it must be.
    """
    try:
        both = json.loads(text)
    except (ValueError, RecursionError):
        raise InputError("file", text, "must be JSON as `snath job --save` writes it") from None
    if not isinstance(both, dict) or not {"job", "result"} <= both.keys():
        raise InputError("file", text, "must hold a job and its result, as `snath job --save` writes them")
    return job_from_json(json.dumps(both["job"])), json.dumps(both["result"])
