"""Let a phone in without a password: invited once, for minutes, and sent away again at will.

The token has 128 random bits and is never kept, only its hash. It works once; two phones that use it at the
same moment cannot both get in, because the database counts the one row that changed.
"""

import hashlib
import secrets
from datetime import timedelta

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext_noop

from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.shop.records.people import Kind, Pairing, Person, Role
from snath.shop.records.store import audit

TOKEN_BYTES = 16
VALID = timedelta(minutes=5)
LONGEST_TOKEN = 64


@transaction.atomic
def invite(name: str, role: Role, who: Person) -> str:
    """A token for one phone, which will be known by that name.

    Raises
    ------
    InputError
        If somebody has that name already.
    """
    if Person.objects.filter(name=name).exists():
        raise InputError("name", name, Message("fault.name-taken"))
    token = secrets.token_urlsafe(TOKEN_BYTES)
    Pairing.objects.create(
        token_hash=_hash(token), name=name, role=role, invited_by=who, expires_at=timezone.now() + VALID
    )
    audit(who, gettext_noop("invited phone"), f"{name}, {role}")
    return token


@transaction.atomic
def accept(token: str) -> Person | None:
    """The phone as a person who may come in, or None where the token is wrong, used or too old."""
    now = timezone.now()  # further ahead than twice that it was given while the clock was wrong
    open_ones = Pairing.objects.filter(
        token_hash=_hash(token[:LONGEST_TOKEN]),
        used_at=None,
        expires_at__gt=now,
        expires_at__lte=now + 2 * VALID,
    )
    if open_ones.update(used_at=now) != 1:
        return None
    pairing = Pairing.objects.get(token_hash=_hash(token[:LONGEST_TOKEN]))
    if Person.objects.filter(name=pairing.name).exists():
        return None
    phone = Person(name=pairing.name, role=pairing.role, kind=Kind.PHONE)
    phone.set_unusable_password()
    phone.save()
    pairing.phone = phone
    pairing.save(update_fields=["phone"])
    audit(phone, gettext_noop("paired"))
    return phone


def _hash(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()
