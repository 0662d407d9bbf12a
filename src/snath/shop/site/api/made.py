"""Open a job on a machine for another program: once for each of its keys, however often it asks."""

from uuid import UUID, uuid5

from django.db import IntegrityError, transaction
from django.utils.translation import gettext

from snath.decisions.job.schema import job_from_json
from snath.decisions.machine.sheet import read_sheet
from snath.quantities.errors import InputError
from snath.quantities.toml_text import parsed
from snath.shop.bench.jobs.start import shelve, start
from snath.shop.records.models import JobRecord, MachineRecord
from snath.shop.site.api.asker import Asker, Reply
from snath.shop.site.api.lists import ListedJob, listed_job
from snath.shop.site.api.schemas import JobAsked

ASKED_FOR = UUID(
    "5c1cbb1f-4f0e-4f0b-9d0b-6a1a1d7c8f52"
)  # a job's own id follows from who asked, and by which key


def open_job(asker: Asker, asked: JobAsked) -> ListedJob | Reply:
    """A job on the machine of a sheet; the one that was opened before where the same key asked for it."""
    id = uuid5(ASKED_FOR, f"{asker.person.pk} {asked.idempotency_key}")
    known = JobRecord.objects.select_related("machine").filter(pk=id)
    if not known.exists():
        try:
            with transaction.atomic():
                return Reply(201, listed_job(_opened(asker, asked, id)))
        except IntegrityError:
            if not known.exists():
                raise  # else the same was asked for at the same moment
    opened = known.get()
    first = opened.versions.get(version=1)
    if job_from_json(first.job_json).machine != read_sheet(asked.sheet):
        allowed = f"must be a new one: it opened job {opened.number} from another sheet"
        raise InputError("idempotency_key", asked.idempotency_key, allowed)
    return listed_job(opened)


def _opened(asker: Asker, asked: JobAsked, id: UUID) -> JobRecord:
    machine = read_sheet(asked.sheet)
    on_the_shelf = MachineRecord.objects.filter(name=machine.name, serial=machine.serial).exclude(serial="")
    stated = "decimal_mark" in parsed(asked.sheet)  # what lies on the shelf says itself how it is to be read
    sheet = asked.sheet if stated else f'decimal_mark = "."\n{asked.sheet}'
    record = shelve(machine, sheet, customer=None, record=on_the_shelf.first())
    note = gettext("opened by the program %(name)s") % {"name": asker.program}
    return start(asker.person, record, machine, id=id, note=note)
