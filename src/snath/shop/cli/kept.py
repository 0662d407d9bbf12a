"""A job as kept in a file: the job and its result in one JSON object, or both in a sealed file."""

import json
import zipfile
from pathlib import Path

from snath.decisions.job.job import Job
from snath.decisions.job.result import Result
from snath.decisions.job.schema import job_from_json, job_to_json, result_to_json
from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.shop.media.text_file import read_text
from snath.shop.paper.sealed_check import JOB, RESULT, check_sealed


def kept_text(job: Job, result: Result) -> str:
    """Job and result as one JSON object."""
    return f'{{"job":{job_to_json(job)},"result":{result_to_json(result)}}}'


def read_kept_file(path: str) -> tuple[Job, str]:
    """The job of a file, and its result as JSON text.

    Raises
    ------
    InputError
        If it is neither; also where a sealed file was changed, since nothing in it can be trusted then.
    """
    if not zipfile.is_zipfile(path):
        return read_kept(read_text(path, "file"))
    with Path(path).open("rb") as sealed:
        if not check_sealed(sealed).whole:
            raise InputError("file", path, Message("records.as-sealed"))
        with zipfile.ZipFile(sealed) as parts:
            return job_from_json(parts.read(JOB).decode()), parts.read(RESULT).decode()


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
        raise InputError("file", text, Message("records.job-json")) from None
    if not isinstance(both, dict) or not {"job", "result"} <= both.keys():
        raise InputError("file", text, Message("records.job-and-result"))
    return job_from_json(json.dumps(both["job"])), json.dumps(both["result"])
