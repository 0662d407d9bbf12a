"""What follows from the records is never kept beside them in a file: it is worked out anew on reading."""

from snath.shop.records import models as tables
from snath.shop.records.facts import touches_of
from snath.shop.records.rows import in_groups
from snath.shop.records.search import entries_of


def derive(using: str) -> None:
    """Work out anew what follows from the records: words to search by, and jobs touched."""
    tables.SearchWord.objects.using(using).all().delete()
    tables.JobTouch.objects.using(using).all().delete()
    for model, beside in (
        (tables.Customer, ()),
        (tables.MachineRecord, ("customer",)),
        (tables.JobRecord, ("customer", "machine", "machine__customer")),
    ):
        rows = model._default_manager.using(using).order_by("pk")
        for group in in_groups(rows.select_related(*beside) if beside else rows):
            words = [word for record in group for word in entries_of(record)]
            tables.SearchWord.objects.using(using).bulk_create(words, batch_size=2000)
    for group in in_groups(tables.JobVersion.objects.using(using).order_by("pk")):
        touches = [
            tables.JobTouch(job_id=version.job_id, kind=kind, key=key)
            for version in group
            for kind, key in sorted(touches_of(version.job_json))
        ]
        tables.JobTouch.objects.using(using).bulk_create(touches, batch_size=2000, ignore_conflicts=True)
