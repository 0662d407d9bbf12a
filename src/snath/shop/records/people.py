"""Keep who works here, with what rights, on which paired phone."""

import uuid
from typing import ClassVar

from django.contrib.auth.models import AbstractBaseUser, BaseUserManager
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext, gettext_lazy, gettext_noop

from snath.shop.records.unchanged import unchanged


class Role(models.TextChoices):
    """What a person may do, the later the less."""

    OWNER = "owner", gettext_lazy("Owner")
    MECHANIC = "mechanic", gettext_lazy("Mechanic")
    READER = "read-only", gettext_lazy("Read only")


class Kind(models.TextChoices):
    """How a person comes in."""

    LOCAL = "local", gettext_lazy("At this machine")
    LOGIN = "login", gettext_lazy("Name and password")
    PHONE = "phone", gettext_lazy("Paired phone")


# What records call whoever needs no name; pages say it in their reader's language.
AT_THIS_MACHINE = gettext_noop("owner at this machine")


def name_shown(name: str) -> str:
    """A person's name as records have it, as a page shows it."""
    return gettext(name) if name == AT_THIS_MACHINE else name


class People(BaseUserManager["Person"]):
    """Everybody, and the one who stands at the machine itself."""

    def local_owner(self) -> "Person":
        """The owner whom `snath serve` without --lan takes everyone at this machine to be."""
        return unchanged(("owner at this machine",), self._local_owner)

    def _local_owner(self) -> "Person":
        person, created = self.get_or_create(
            name=AT_THIS_MACHINE, defaults={"role": Role.OWNER, "kind": Kind.LOCAL}
        )
        if created:
            person.set_unusable_password()
            person.save()
        return person


class Person(AbstractBaseUser):
    """Somebody who uses the shop's records; a paired phone counts as a person of its own."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    name = models.CharField(max_length=60, unique=True)
    role = models.CharField(max_length=20, choices=Role.choices, default=Role.READER)
    kind = models.CharField(max_length=20, choices=Kind.choices, default=Kind.LOGIN)
    is_active = models.BooleanField(default=True)
    created_at = models.DateTimeField(default=timezone.now)

    objects: ClassVar[People] = People()

    USERNAME_FIELD = "name"
    REQUIRED_FIELDS: ClassVar[list[str]] = []

    def __str__(self) -> str:
        return self.name

    @property
    def may_change(self) -> bool:
        """Whether this person may add to the records."""
        return self.role in (Role.OWNER, Role.MECHANIC)

    @property
    def owns(self) -> bool:
        """Whether this person may manage people, rules and the shop itself."""
        return self.role == Role.OWNER


class Pairing(models.Model):
    """An invitation for one phone: the token itself is never kept, only its hash."""

    token_hash = models.CharField(max_length=64, unique=True)
    name = models.CharField(max_length=60)
    role = models.CharField(max_length=20, choices=Role.choices)
    invited_by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="invitations", null=True)
    expires_at = models.DateTimeField()
    used_at = models.DateTimeField(null=True)
    phone = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="pairings")

    def __str__(self) -> str:
        return f"invitation of {self.name}"


class Attempt(models.Model):
    """One failed login, kept as long as it counts against the next."""

    key = models.CharField(max_length=64, db_index=True)
    at = models.DateTimeField(db_index=True)

    def __str__(self) -> str:
        return f"failed login at {self.at}"


class AuditEntry(models.Model):
    """Who did what and when; added to, never edited, and chained by hash as versions are (`log`).

    An entry made before there was a chain has no hash.
    """

    at = models.DateTimeField(db_index=True)
    who = models.CharField(max_length=60)
    did = models.CharField(max_length=60)
    what = models.CharField(max_length=200, blank=True)
    digest = models.CharField(max_length=64, blank=True)  # of the row that is noted, where one is
    prev_hash = models.CharField(max_length=64, blank=True)
    hash = models.CharField(max_length=64, blank=True)

    def __str__(self) -> str:
        return f"{self.at} {self.who}: {self.did} {self.what}"
