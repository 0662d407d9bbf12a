"""Keep whose machine it is, and what is known of it.

Whatever tells who a customer is stands in `Customer` and nowhere else, so that it can be erased
while machines, jobs and their chain of hashes stay whole.
"""

import uuid

from django.db import models
from django.utils import timezone


class Customer(models.Model):
    """Personal data, apart from every record; after erasing only the random id is left."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    name = models.CharField(max_length=120, blank=True)
    phone = models.CharField(max_length=60, blank=True)
    email = models.CharField(max_length=120, blank=True)
    address = models.TextField(max_length=400, blank=True)
    note = models.TextField(max_length=2000, blank=True)
    created_at = models.DateTimeField(default=timezone.now)
    erased_at = models.DateTimeField(null=True, blank=True)

    def __str__(self) -> str:
        return self.name or "(erased)"


class MachineRecord(models.Model):
    """One machine, found again by its serial; its id is random and is all that a tag carries."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    customer = models.ForeignKey(
        Customer, on_delete=models.PROTECT, null=True, blank=True, related_name="machines"
    )
    name = models.CharField(max_length=120)
    kind = models.CharField(max_length=60, blank=True)
    serial = models.CharField(max_length=60, blank=True)
    earlier_serials = models.CharField(max_length=400, blank=True, default="")  # it is found by these, too
    engine_code = models.CharField(max_length=60, blank=True)
    sheet = models.TextField(max_length=100_000, blank=True)  # the TOML machine sheet as typed
    note = models.TextField(max_length=2000, blank=True)
    created_at = models.DateTimeField(default=timezone.now)

    def __str__(self) -> str:
        return f"{self.name} {self.serial}".strip()


class EarlierSheet(models.Model):
    """What stood on the shelf of a machine until something else took its place: nothing is written over for good."""

    machine = models.ForeignKey(MachineRecord, on_delete=models.CASCADE, related_name="earlier_sheets")
    sheet = models.TextField(max_length=100_000, blank=True)
    reading = models.TextField(max_length=4000, blank=True)  # the last one as a table had it, JSON
    read_on = models.DateField(null=True)
    until = models.DateTimeField(default=timezone.now)

    def __str__(self) -> str:
        return f"{self.machine_id} until {self.until:%Y-%m-%d}"
