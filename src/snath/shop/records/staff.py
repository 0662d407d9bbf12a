"""Who may come in: people added, given another role, a new password, or sent away."""

from django.contrib.auth import SESSION_KEY
from django.contrib.sessions.models import Session
from django.db import transaction
from django.utils.translation import gettext_noop

from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.shop.records.people import Kind, Person, Role
from snath.shop.records.store import audit


@transaction.atomic
def add_person(name: str, role: Role, password: str, who: Person | None = None) -> Person:
    """Somebody new with a name and a password; `who` is None for the first owner only."""
    if Person.objects.filter(name=name).exists():
        raise InputError("name", name, Message("fault.name-taken"))
    person = Person(name=name, role=role, kind=Kind.LOGIN)
    person.set_password(password)
    person.save()
    audit(who or person, gettext_noop("added person"), f"{name}, {role}")
    return person


@transaction.atomic
def change_person(person: Person, who: Person, *, role: Role, active: bool) -> None:
    """Another role, or sent away: open sessions of a person sent away end at once.

    Raises
    ------
    InputError
        If nobody would be left who owns the shop.
    """
    owners = Person.objects.select_for_update().filter(kind=Kind.LOGIN, role=Role.OWNER, is_active=True)
    keeps_owning = role == Role.OWNER and active
    if person in owners and not keeps_owning and len(owners) == 1:
        raise InputError("role", person.name, Message("fault.last-owner"))
    person.role, person.is_active = role, active
    if not active and person.kind == Kind.PHONE:
        person.set_unusable_password()  # a new one each time, against which its sessions no longer hold
    person.save()
    if not active:
        _end_sessions(person)
    audit(who, gettext_noop("changed person"), f"{person.name}, {role}{'' if active else ', sent away'}")


def _end_sessions(person: Person) -> None:
    """Forget every session of a person, so that none of them holds again should the person be let back."""
    theirs = [one.pk for one in Session.objects.all() if one.get_decoded().get(SESSION_KEY) == str(person.pk)]
    Session.objects.filter(pk__in=theirs).delete()


@transaction.atomic
def set_password(person: Person, password: str, who: Person) -> None:
    """A new password; every session opened with the old one ends."""
    person.set_password(password)
    person.save()
    audit(who, gettext_noop("set password"), person.name)


def has_owner() -> bool:
    """Whether somebody can log in and manage the others."""
    return Person.objects.filter(kind=Kind.LOGIN, role=Role.OWNER, is_active=True).exists()
