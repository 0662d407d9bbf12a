"""Machines by the day they are to be read again; those with a job that was read begin with its date."""

from datetime import date
from typing import Any

import django.db.models.deletion
from django.db import migrations, models

MONTHS = 12  # common practice, no source


def begin(apps: Any, editor: Any) -> None:
    """Every machine that has a job with a reading, by the newest; in the database that is changed, which may be a trial."""
    Job, Entry = apps.get_model("records", "JobRecord"), apps.get_model("records", "FleetEntry")
    using = editor.connection.alias
    read = Job.objects.using(using).filter(machine__isnull=False).exclude(as_found_rev_s=None, as_left_rev_s=None)
    days = {}
    for machine, changed in read.order_by("changed_at").values_list("machine_id", "changed_at"):
        days[machine] = changed.date()
    Entry.objects.using(using).bulk_create(
        (Entry(machine_id=key, read_on=day, due_on=_a_year_on(day)) for key, day in days.items()),
        batch_size=500,
    )


def _a_year_on(day: date) -> date:
    return date(day.year + 1, day.month, min(day.day, 28) if day.month == 2 else day.day)


class Migration(migrations.Migration):
    dependencies = [("records", "0008_heard_pieces")]  # noqa: RUF012

    operations = [
        migrations.CreateModel(
            name="FleetEntry",
            fields=[
                (
                    "machine",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.CASCADE,
                        primary_key=True,
                        related_name="fleet",
                        serialize=False,
                        to="records.machinerecord",
                    ),
                ),
                ("number", models.CharField(blank=True, max_length=60)),
                ("reading", models.TextField(blank=True, max_length=4000)),
                ("every", models.PositiveSmallIntegerField(default=0)),
                ("read_on", models.DateField(null=True)),
                ("due_said", models.DateField(null=True)),
                ("due_on", models.DateField(null=True)),
                ("row", models.TextField(blank=True, max_length=20_000)),
                ("shut", models.BooleanField(null=True)),
                ("over", models.BooleanField(null=True)),
                ("moved", models.CharField(blank=True, max_length=60)),
                ("worked_by", models.CharField(blank=True, max_length=80)),
            ],
            options={"indexes": [models.Index(fields=["due_on"], name="fleet_due")]},
        ),
        migrations.RunPython(begin, migrations.RunPython.noop),
    ]
