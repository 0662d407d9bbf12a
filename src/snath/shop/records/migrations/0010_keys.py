"""Keep the keys of other programs, by their hash."""

import uuid

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("records", "0009_fleet")]  # noqa: RUF012

    operations = [  # noqa: RUF012
        migrations.CreateModel(
            name="ApiKey",
            fields=[
                ("id", models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ("name", models.CharField(max_length=60)),
                ("hash", models.CharField(max_length=64, unique=True)),
                (
                    "scope",
                    models.CharField(
                        choices=[
                            ("work", "Work something out"),
                            ("read", "Read the shop's records too"),
                            ("make", "Open jobs too"),
                        ],
                        default="work",
                        max_length=10,
                    ),
                ),
                ("made_at", models.DateTimeField()),
                ("ends_at", models.DateTimeField()),
                ("used_at", models.DateTimeField(null=True)),
                ("withdrawn_at", models.DateTimeField(null=True)),
                (
                    "person",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="keys",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
        ),
    ]
