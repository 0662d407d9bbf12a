"""Keep when each machine is to be read again, how it was read last, and what it said when the fleet was worked."""

from typing import ClassVar

from django.db import models

from snath.shop.records.machines import MachineRecord


class FleetEntry(models.Model):
    """One machine in the list by due date, with what was worked out of it last, and by which book and program."""

    machine = models.OneToOneField(
        MachineRecord, on_delete=models.CASCADE, primary_key=True, related_name="fleet"
    )
    number = models.CharField(max_length=60, blank=True)  # what the fleet calls it
    reading = models.TextField(
        max_length=4000, blank=True
    )  # its last reading as it was typed in a table, JSON
    every = models.PositiveSmallIntegerField(default=0)  # months; 0 for the usual ones
    read_on = models.DateField(null=True)
    due_said = models.DateField(null=True)  # the day somebody named
    due_on = models.DateField(null=True)  # the day that follows; none for at once
    row = models.TextField(max_length=20_000, blank=True)  # as last worked, JSON; empty for not yet
    shut = models.BooleanField(null=True)
    over = models.BooleanField(null=True)
    moved = models.CharField(max_length=60, blank=True)  # what a newer book or program moved
    worked_by = models.CharField(max_length=80, blank=True)

    class Meta:
        indexes: ClassVar[list[models.Index]] = [models.Index(fields=["due_on"], name="fleet_due")]

    def __str__(self) -> str:
        return f"{self.number} {self.machine_id}".strip()
