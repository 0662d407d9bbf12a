"""What was found, set and signed: jobs as versions, added and never edited, and what hangs on them."""

import uuid
from importlib.metadata import version as installed_version
from typing import Any, ClassVar, NoReturn

from django.core.validators import RegexValidator
from django.db import models

from snath.shop.records.facts import as_worked_out
from snath.shop.records.machines import Customer, MachineRecord
from snath.shop.records.people import Person

SHA256 = r"\A[0-9a-f]{64}\Z"


class NeverEdited(RuntimeError):
    """Our own code tried to change or delete a saved version."""


class Waits(models.TextChoices):
    """What a job in progress waits for."""

    READING = "reading", "Reading"
    PART = "part", "Part"
    CHECK = "check", "Check of the machine"
    REPAIR = "repair", "Repair"
    SIGNATURE = "signature", "Signature"
    CUSTOMER = "customer", "Customer"
    NOTHING = "", "Done"


class JobRecord(models.Model):
    """One job. The columns below are copied from its newest version, for lists; the version is the record."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    number = models.PositiveBigIntegerField(unique=True)  # what people call it
    machine = models.ForeignKey(
        MachineRecord, on_delete=models.PROTECT, null=True, blank=True, related_name="jobs"
    )
    customer = models.ForeignKey(
        Customer, on_delete=models.PROTECT, null=True, blank=True, related_name="jobs"
    )
    title = models.CharField(max_length=120, blank=True)
    waits_for = models.CharField(max_length=20, blank=True, choices=Waits.choices, default=Waits.READING)
    held_for = models.CharField(  # what somebody said it waits for; it stands until the job is done or it is taken back
        max_length=20, blank=True, choices=Waits.choices, default=""
    )
    due_back = models.DateField(null=True, blank=True)  # when the customer was told it would be ready
    version = models.PositiveIntegerField(default=0)  # of the newest saved version; 0 before the first
    opened_at = models.DateTimeField()
    changed_at = models.DateTimeField()
    verdict = models.CharField(max_length=20, blank=True)
    as_found_rev_s = models.FloatField(null=True)
    as_left_rev_s = models.FloatField(null=True)
    ceiling_rev_s = models.FloatField(null=True)
    target_rev_s = models.FloatField(null=True)
    worked_by = models.CharField(max_length=40, blank=True)  # the program the columns above come from

    class Meta:
        indexes: ClassVar[list[models.Index]] = [
            models.Index(fields=["-changed_at"], name="job_changed"),
            models.Index(fields=["waits_for", "-changed_at"], name="job_waits"),
            models.Index(fields=["machine", "-opened_at"], name="job_machine"),
        ]

    def __str__(self) -> str:
        return f"job {self.number}"

    @property
    def ceiling(self) -> float | None:
        """Its ceiling, as it was worked out. [rev/s]"""
        return None if self.ceiling_rev_s is None else as_worked_out(self.ceiling_rev_s)

    @property
    def stale(self) -> bool:
        """Whether its word was worked out by another program: it may say otherwise now, so it is not shown."""
        return bool(self.version) and self.worked_by != installed_version("snath")


class Versions(models.QuerySet["JobVersion"]):
    """Versions can be read and added."""

    def update(self, **fields: Any) -> NoReturn:
        del fields
        raise NeverEdited("a saved version is never edited: save a new one")

    def delete(self) -> NoReturn:
        raise NeverEdited("a saved version is never deleted")


class JobVersion(models.Model):
    """One saved state of a job: the texts exactly as worked out, chained by hash to the version before.

    `sequence` counts all versions of the shop, `version` those of the job. The hash covers every
    column here but nothing of the customer.
    """

    sequence = models.PositiveBigIntegerField(primary_key=True)
    job = models.ForeignKey(JobRecord, on_delete=models.PROTECT, related_name="versions")
    version = models.PositiveIntegerField()
    job_json = models.TextField()
    result_json = models.TextField()
    program = models.CharField(max_length=40)
    who = models.CharField(max_length=60)
    at = models.DateTimeField()
    note = models.TextField(max_length=2000, blank=True)
    prev_hash = models.CharField(max_length=64, blank=True)
    hash = models.CharField(max_length=64)

    objects: ClassVar[models.Manager["JobVersion"]] = models.Manager.from_queryset(Versions)()

    class Meta:
        constraints: ClassVar[list[models.BaseConstraint]] = [
            models.UniqueConstraint(fields=["job", "version"], name="one_of_each_version")
        ]

    def __str__(self) -> str:
        return f"{self.job} version {self.version}"

    def save(self, *args: Any, **kwargs: Any) -> None:
        if not self._state.adding:
            raise NeverEdited("a saved version is never edited: save a new one")
        kwargs["force_insert"] = True
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> NoReturn:
        del args, kwargs
        raise NeverEdited("a saved version is never deleted")


class ChainHead(models.Model):
    """One row: where the chains of hashes end, that of versions and that of who did what.

    Locked while a version or an entry is added, so that savers queue.

    `closed` says where the shop has moved to; nothing is added here any more.
    """

    sequence = models.PositiveBigIntegerField(default=0)
    hash = models.CharField(max_length=64, blank=True)
    log_hash = models.CharField(max_length=64, blank=True)
    closed = models.CharField(max_length=200, blank=True)

    def __str__(self) -> str:
        return f"{self.sequence} {self.hash}"


class JobTouch(models.Model):
    """A rule or an instrument that some version of a job used: finds the jobs when one turns out wrong."""

    job = models.ForeignKey(JobRecord, on_delete=models.CASCADE, related_name="touches")
    kind = models.CharField(max_length=20)  # "rule" or "instrument"
    key = models.CharField(max_length=80)

    class Meta:
        constraints: ClassVar[list[models.BaseConstraint]] = [
            models.UniqueConstraint(fields=["kind", "key", "job"], name="one_touch")
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.key}"


class Attachment(models.Model):
    """A photo or recording of a job or machine; the bytes lie in the data folder under their own hash."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    job = models.ForeignKey(
        JobRecord, on_delete=models.PROTECT, null=True, blank=True, related_name="attachments"
    )
    machine = models.ForeignKey(
        MachineRecord, on_delete=models.PROTECT, null=True, blank=True, related_name="attachments"
    )
    sha256 = models.CharField(max_length=64, db_index=True, validators=[RegexValidator(SHA256)])
    kind = models.CharField(max_length=20)  # "photo", "recording", "sheet"
    media = models.CharField(max_length=60)  # e.g. image/jpeg
    size = models.PositiveBigIntegerField()
    name = models.CharField(max_length=120, blank=True)
    note = models.CharField(max_length=400, blank=True)
    at = models.DateTimeField()
    who = models.CharField(max_length=60)

    def __str__(self) -> str:
        return self.name or self.sha256[:12]


FROM_YARD = "yard:"  # how the key of a draft begins that a phone took down without the bench


class Draft(models.Model):
    """A long entry as typed so far; one per person and form, overwritten on each keystroke."""

    person = models.ForeignKey(Person, on_delete=models.CASCADE, related_name="drafts")
    key = models.CharField(max_length=120)
    fields = models.TextField(max_length=200_000)  # JSON object of the form's fields
    changed_at = models.DateTimeField()

    class Meta:
        constraints: ClassVar[list[models.BaseConstraint]] = [
            models.UniqueConstraint(fields=["person", "key"], name="one_draft")
        ]

    def __str__(self) -> str:
        return self.key


class SearchWord(models.Model):
    """One word under which a record is found, newest first; see search.py."""

    word = models.CharField(max_length=40)
    newest = models.BigIntegerField()  # order of the record's last change
    kind = models.CharField(max_length=12)  # "job", "machine", "customer"
    record = models.UUIDField(db_index=True)

    class Meta:
        indexes: ClassVar[list[models.Index]] = [models.Index(fields=["word", "-newest"], name="word_newest")]

    def __str__(self) -> str:
        return self.word
