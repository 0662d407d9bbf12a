"""Forget a customer who asks for it: what goes, and what stays.

Name, phone, address and notes go, from the customer, the words it is found by, and every draft that
repeats them. Machines, jobs and their versions stay, under a random id that leads to nobody; no hash
covers a customer, so the chain stays whole. Backups made before keep what they hold.
"""

from django.db import connection, transaction
from django.utils import timezone
from django.utils.translation import gettext_noop

from snath.shop.records.jobs import Draft
from snath.shop.records.machines import Customer
from snath.shop.records.people import Person
from snath.shop.records.store import audit

PERSONAL = ("name", "phone", "email", "address", "note")
SHORTEST = 3  # a shorter text is found by chance in any draft


def erase_customer(customer: Customer, who: Person) -> None:
    """Forget who a customer is; what was done on the machines stays."""
    with transaction.atomic():
        texts = [getattr(customer, field).strip() for field in PERSONAL]
        for draft in Draft.objects.all():
            if any(len(text) >= SHORTEST and text in draft.fields for text in texts):
                draft.delete()
        for field in PERSONAL:
            setattr(customer, field, "")
        customer.erased_at = timezone.now()
        customer.save()
        audit(who, gettext_noop("erased customer"), customer.pk)
    if connection.vendor == "sqlite" and not connection.in_atomic_block:
        with connection.cursor() as cursor:  # what was erased must not live on in the write-ahead log
            cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
