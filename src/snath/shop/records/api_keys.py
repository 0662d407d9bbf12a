"""Hold the keys of other programs: what each may do, for whom, until when; never the key itself."""

import uuid

from django.db import models
from django.utils import timezone

from snath.shop.records.people import Person


class Scope(models.TextChoices):
    """What a key may do, the later the more."""

    WORK = "work", "Work something out"
    READ = "read", "Read the shop's records too"
    MAKE = "make", "Open jobs too"

    def reaches(self, least: "Scope") -> bool:
        """Whether it is that scope or a wider one."""
        known = list(Scope)
        return known.index(self) >= known.index(least)


class ApiKey(models.Model):
    """One key of one person; it can never do more than that person, and ends with them."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    person = models.ForeignKey(Person, on_delete=models.CASCADE, related_name="keys")
    name = models.CharField(max_length=60)
    hash = models.CharField(max_length=64, unique=True)
    scope = models.CharField(max_length=10, choices=Scope.choices, default=Scope.WORK)
    made_at = models.DateTimeField()
    ends_at = models.DateTimeField()
    used_at = models.DateTimeField(null=True)
    withdrawn_at = models.DateTimeField(null=True)

    def __str__(self) -> str:
        return f"key {self.name}"

    @property
    def holds(self) -> bool:
        """Whether it is neither withdrawn nor over, and its person still works here."""
        return self.withdrawn_at is None and timezone.now() < self.ends_at and self.person.is_active
