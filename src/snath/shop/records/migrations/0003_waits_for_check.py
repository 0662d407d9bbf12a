"""A job may wait for a check of the machine, or for a repair."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("records", "0002_never_edited")]  # noqa: RUF012

    operations = [  # noqa: RUF012
        migrations.AlterField(
            model_name="jobrecord",
            name="waits_for",
            field=models.CharField(
                blank=True,
                choices=[
                    ("reading", "Reading"),
                    ("part", "Part"),
                    ("check", "Check of the machine"),
                    ("repair", "Repair"),
                    ("signature", "Signature"),
                    ("", "Done"),
                ],
                default="reading",
                max_length=20,
            ),
        ),
    ]
