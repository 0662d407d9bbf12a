"""Keep the keys of other programs: what each may do, for whom, until when; never the key itself."""

import secrets
import uuid
from datetime import timedelta
from hashlib import sha256

from django.db import models, transaction
from django.utils import timezone

from snath.quantities.errors import InputError
from snath.shop.records.log import note
from snath.shop.records.people import Kind, Person

BEGINS = "snath_"
RANDOM = 32  # bytes: 256 random bits, so that a plain hash is enough to keep
LONGEST_DAYS = 730
SEEN_AGAIN = timedelta(minutes=1)  # how finely its last use is kept


class Scope(models.TextChoices):
    """What a key may do, the later the more."""

    WORK = "work", "Work something out"
    READ = "read", "Read the shop's records too"


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


@transaction.atomic
def make_key(person: Person, name: str, scope: Scope, days: int, who: Person) -> tuple[ApiKey, str]:
    """A new key and its text, which is shown now and never again.

    Raises
    ------
    InputError
        If it has no name, would end too late, or its person does not work here.
    """
    if not name.strip() or len(name) > 60:
        raise InputError("name", name, "must be 1 to 60 characters, such as the program it is for")
    if not 1 <= days <= LONGEST_DAYS:
        raise InputError("days", days, f"must be 1 to {LONGEST_DAYS}")
    if not person.is_active or person.kind == Kind.PHONE:
        raise InputError("person", person.name, "must be somebody who works here, and no paired phone")
    text = BEGINS + secrets.token_urlsafe(RANDOM)
    now = timezone.now()
    key = ApiKey.objects.create(
        person=person,
        name=name.strip(),
        hash=_hash(text),
        scope=scope,
        made_at=now,
        ends_at=now + timedelta(days=days),
    )
    note(who.name, "made a key", f"{key.name} for {person.name}, {scope}, {key.ends_at.date()}")
    return key, text


def known_key(text: str) -> ApiKey | None:
    """The key with this text, where it holds now; asked anew each time, so that a withdrawn one is dead at once."""
    if not text.startswith(BEGINS) or len(text) > 100:
        return None
    key = ApiKey.objects.select_related("person").filter(hash=_hash(text)).first()
    if key is None or not key.holds:
        return None
    now = timezone.now()
    if key.used_at is None or now - key.used_at > SEEN_AGAIN:
        ApiKey.objects.filter(pk=key.pk).update(used_at=now)
    return key


@transaction.atomic
def withdraw_key(key: ApiKey, who: Person) -> None:
    """End a key for good."""
    if key.withdrawn_at is None:
        key.withdrawn_at = timezone.now()
        key.save(update_fields=["withdrawn_at"])
        note(who.name, "withdrew a key", f"{key.name} of {key.person.name}")


def _hash(text: str) -> str:
    return sha256(text.encode("utf-8", "surrogatepass")).hexdigest()
