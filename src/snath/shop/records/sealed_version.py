"""Check that a sealed file holds the job the shop has saved: its hash may be copied, so the job counts too."""

import zipfile
from pathlib import Path

from snath.decisions.job.schema import job_from_json
from snath.shop.paper.sealed_check import JOB
from snath.shop.records.chain import hash_of
from snath.shop.records.jobs import JobVersion


def saved_as_sealed(file: Path, record: str) -> bool:
    """Whether the version of that hash is here, unchanged, and the job in the file is the one it holds."""
    version = JobVersion.objects.filter(hash=record).first() if record else None
    if version is None or hash_of(version) != version.hash:
        return False
    with zipfile.ZipFile(file) as archive:
        sealed = archive.read(JOB).decode()
    return job_from_json(sealed) == job_from_json(version.job_json)
