"""Count guesses at a password, and say how long to wait.

Failures count for a quarter of an hour: 5 for one name from one address, 20 for one address, 50 for one
name from anywhere. The last is high, so that a stranger cannot easily lock the owner out. Names and
addresses are kept as keyed hashes only.
"""

from dataclasses import dataclass
from datetime import timedelta

from django.db import connection, transaction
from django.db.models import Q
from django.http import HttpRequest
from django.utils import timezone
from django.utils.crypto import salted_hmac

from snath.shop.records.people import Attempt

WINDOW = timedelta(minutes=15)
BOTH, ADDRESS, NAME = 5, 20, 50


@dataclass(frozen=True, slots=True)
class Try:
    """One try that was taken: under which key it counts for name and address together, and its rows."""

    both: str
    rows: tuple[int, ...]


@transaction.atomic
def try_once(request: HttpRequest, name: str) -> Try | None:
    """Take one of the tries that are left, or None where there is none: then the password is not looked at.

    It counts as a failure from now on, so that thirty asked at once get no more than one after the other would.
    """
    now = timezone.now()
    if connection.vendor == "postgresql":  # SQLite's write lock is taken where the transaction begins
        with connection.cursor() as cursor:
            cursor.execute(
                f"LOCK TABLE {connection.ops.quote_name(Attempt._meta.db_table)} IN EXCLUSIVE MODE"
            )
    allowed = dict(zip(_keys(request, name), (BOTH, ADDRESS, NAME), strict=True))
    # What lies ahead was counted while this computer's clock was wrong: it would lock somebody out until that day.
    counting = Q(at__gt=now - WINDOW, at__lt=now + WINDOW)
    for key, most in allowed.items():
        if Attempt.objects.filter(counting, key=key)[:most].count() >= most:
            return None
    Attempt.objects.exclude(counting).delete()
    rows = tuple(Attempt.objects.create(key=key, at=now) for key in allowed)
    return Try(rows[0].key, tuple(row.pk for row in rows))


def succeeded(taken: Try) -> None:
    """A good login was no failure after all, and that name at that address starts anew."""
    Attempt.objects.filter(pk__in=taken.rows).delete()
    Attempt.objects.filter(key=taken.both).delete()


def _keys(request: HttpRequest, name: str) -> tuple[str, str, str]:
    address = request.META.get("REMOTE_ADDR", "")
    flat = name.casefold()
    return _key("both", f"{address} {flat}"), _key("address", address), _key("name", flat)


def _key(kind: str, value: str) -> str:
    return salted_hmac(f"login attempts by {kind}", value, algorithm="sha256").hexdigest()
