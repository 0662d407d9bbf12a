"""Which program a job's word in the lists comes from; and whether a second person is there to countersign."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("records", "0004_the_day")]  # noqa: RUF012

    operations = [  # noqa: RUF012
        migrations.AddField(
            model_name="jobrecord",
            name="worked_by",
            field=models.CharField(blank=True, default="", max_length=40),
            preserve_default=False,
        ),
        migrations.AddField(
            model_name="shopsettings",
            name="one_person",
            field=models.BooleanField(default=False),
        ),
    ]
