"""A sealed file is held against what the shop saved: the same version, with the same job in it."""

from dataclasses import replace

import pytest
from django.db import connection

from snath.decisions.job.schema import job_to_json, result_to_json
from snath.decisions.job.work import work
from snath.shop.paper.facts import SheetFacts
from snath.shop.paper.sealed import sealed_file
from snath.shop.records import store
from snath.shop.records.sealed_version import saved_as_sealed
from tests.machines import direct, inches, job

pytestmark = pytest.mark.django_db

JOB = job(direct(inches(21)), market="US")


@pytest.fixture
def version(mechanic):
    return store.save_version(
        store.open_job(mechanic), job_to_json(JOB), result_to_json(work(JOB)), 0, mechanic
    )


def file_of(folder, record: str, one=JOB):
    path = folder / "sealed.zip"
    path.write_bytes(sealed_file(one, work(one), facts=SheetFacts(number="1", record_hash=record)))
    return path


def test_the_version_it_was_made_from_is_found(version, tmp_path):
    assert saved_as_sealed(file_of(tmp_path, version.hash), version.hash)


def test_another_job_under_the_hash_of_a_saved_version_is_not_that_version(version, tmp_path):
    assert not saved_as_sealed(file_of(tmp_path, version.hash, replace(JOB, market="EU")), version.hash)


def test_a_version_that_was_changed_under_its_hash_proves_nothing(version, tmp_path):
    table = " ON records_jobversion" if connection.vendor == "postgresql" else ""
    with connection.cursor() as cursor:
        cursor.execute(f"DROP TRIGGER IF EXISTS version_never_edited{table}")
        cursor.execute("UPDATE records_jobversion SET who = 'somebody else'")
    assert not saved_as_sealed(file_of(tmp_path, version.hash), version.hash)


@pytest.mark.parametrize("record", ["", "ab12" * 16])
def test_a_hash_no_version_has_is_not_found(version, tmp_path, record):
    assert not saved_as_sealed(file_of(tmp_path, record), record)
