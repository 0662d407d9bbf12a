"""Keep what stood on the shelf of a machine until something else took its place."""

import django.db.models.deletion
import django.utils.timezone
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("records", "0010_keys")]  # noqa: RUF012

    operations = [  # noqa: RUF012
        migrations.CreateModel(
            name="EarlierSheet",
            fields=[
                (
                    "id",
                    models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID"),
                ),
                ("sheet", models.TextField(blank=True, max_length=100000)),
                ("reading", models.TextField(blank=True, max_length=4000)),
                ("read_on", models.DateField(null=True)),
                ("until", models.DateTimeField(default=django.utils.timezone.now)),
                (
                    "machine",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="earlier_sheets",
                        to="records.machinerecord",
                    ),
                ),
            ],
        ),
    ]
