"""Make, know again and withdraw the keys of other programs; a key's text is shown once and only its hash is kept."""

import secrets
from contextlib import suppress
from datetime import timedelta
from hashlib import sha256

from django.db import DatabaseError, transaction
from django.utils import timezone
from django.utils.translation import gettext_noop

from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.shop.records.api_keys import ApiKey, Scope
from snath.shop.records.people import Kind, Person
from snath.shop.records.store import audit

BEGINS = "snath_"
RANDOM = 32  # bytes: 256 random bits, so that a plain hash is enough to keep
LONGEST_DAYS = 730
SEEN_AGAIN = timedelta(minutes=1)  # how finely its last use is kept


@transaction.atomic
def make_key(person: Person, name: str, scope: Scope, days: int, who: Person) -> tuple[ApiKey, str]:
    """A new key and its text, which is shown now and never again.

    Raises
    ------
    InputError
        If it has no name, would end too late, or its person does not work here.
    """
    if not name.strip() or len(name) > 60:
        raise InputError("name", name, Message("fault.key-name"))
    if not 1 <= days <= LONGEST_DAYS:
        raise InputError("days", days, Message("fault.days", most=LONGEST_DAYS))
    if not person.is_active or person.kind == Kind.PHONE:
        raise InputError("person", person.name, Message("fault.works-here"))
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
    audit(who, gettext_noop("made a key"), f"{key.name} for {person.name}, {scope}, {key.ends_at.date()}")
    return key, text


def key_in(header: str) -> ApiKey | None:
    """The key an `Authorization` header carries, where it holds now."""
    scheme, _, text = header.partition(" ")
    return known_key(text.strip()) if scheme.lower() == "bearer" else None


def known_key(text: str) -> ApiKey | None:
    """The key with this text, where it holds now; asked anew each time, so that a withdrawn one is dead at once."""
    if not text.startswith(BEGINS) or len(text) > 100:
        return None
    key = ApiKey.objects.select_related("person").filter(hash=_hash(text)).first()
    if key is None or not key.holds:
        return None
    now = timezone.now()
    if key.used_at is None or now - key.used_at > SEEN_AGAIN:
        with (
            suppress(DatabaseError),
            transaction.atomic(),
        ):  # an answer needs neither disk nor lock
            ApiKey.objects.filter(pk=key.pk).update(used_at=now)
    return key


@transaction.atomic
def withdraw_key(key: ApiKey, who: Person) -> None:
    """End a key for good."""
    if key.withdrawn_at is None:
        key.withdrawn_at = timezone.now()
        key.save(update_fields=["withdrawn_at"])
        audit(who, gettext_noop("withdrew a key"), f"{key.name} of {key.person.name}")


def _hash(text: str) -> str:
    return sha256(text.encode("utf-8", "surrogatepass")).hexdigest()
