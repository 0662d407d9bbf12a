"""Tables of what passes through: recordings that wait to be read, and clips that are held for a few minutes.

Neither is a record: no backup holds them.
"""

import uuid
from typing import ClassVar

from django.core.validators import RegexValidator
from django.db import models

from snath.shop.records.jobs import SHA256
from snath.shop.records.people import Person


class Progress(models.TextChoices):
    """How far a recording has come."""

    WAITING = "waiting", "Waiting"
    READING = "reading", "Being read"
    DONE = "done", "Read"


class RecordingAsk(models.Model):
    """A recording somebody wants read, with the form that waits for it; the key counts up: it is the place in line."""

    key = models.CharField(max_length=64, db_index=True)  # of the recording and what was said of it
    source = models.CharField(max_length=64, validators=[RegexValidator(SHA256)])
    asked = models.TextField(max_length=1_000_000)
    person = models.ForeignKey(Person, on_delete=models.CASCADE, related_name="asks")
    path = models.CharField(max_length=300)
    entries = models.TextField(max_length=200_000)
    progress = models.CharField(max_length=10, choices=Progress.choices, default=Progress.WAITING)
    holder = models.CharField(max_length=80, blank=True)  # the reader that has taken it
    leased_until = models.DateTimeField(null=True)
    tries = models.PositiveSmallIntegerField(default=0)  # readers it has brought down
    done_s = models.FloatField(null=True)  # how far it has been read, and how long it is
    of_s = models.FloatField(null=True)
    asked_at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True)
    answer = models.TextField(blank=True)

    class Meta:
        indexes: ClassVar[list[models.Index]] = [models.Index(fields=["progress", "id"], name="ask_open")]

    def __str__(self) -> str:
        return f"{self.source[:12]} {self.progress}"


class HeardPiece(models.Model):
    """Half a second of sound a live page sent, where several benches share the database; dropped after two minutes."""

    page = models.CharField(max_length=80)  # the person's key and the page's own
    number = models.PositiveBigIntegerField()
    start = models.PositiveBigIntegerField()  # sample
    rate = models.PositiveIntegerField()  # samples a second
    sound = models.BinaryField()  # mono, 16 bit
    at = models.DateTimeField(db_index=True)

    class Meta:
        indexes: ClassVar[list[models.Index]] = [models.Index(fields=["page", "number"], name="heard_page")]

    def __str__(self) -> str:
        return f"{self.page} {self.number}"


class HeldClip(models.Model):
    """A clip given to a page that keeps nothing, so that it need not be given again; dropped after ten minutes."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    person = models.ForeignKey(Person, on_delete=models.CASCADE, related_name="held_clips")
    name = models.CharField(max_length=120)
    sha256 = models.CharField(max_length=64, db_index=True, validators=[RegexValidator(SHA256)])
    size = models.PositiveBigIntegerField()  # bytes
    plateaus = models.TextField(default="[]")  # JSON: the speeds held in all of it
    used_at = models.DateTimeField(db_index=True)

    def __str__(self) -> str:
        return self.name
