"""How often may somebody guess a password before they must wait?

Failures count for a quarter of an hour: 5 for one name from one address, 20 for one address, 50 for one
name from anywhere. The last is high, so that a stranger cannot easily lock the owner out. Names and
addresses are kept as keyed hashes only.
"""

from datetime import timedelta

from django.http import HttpRequest
from django.utils import timezone
from django.utils.crypto import salted_hmac

from snath.shop.records.people import Attempt

WINDOW = timedelta(minutes=15)
BOTH, ADDRESS, NAME = 5, 20, 50


def must_wait(request: HttpRequest, name: str) -> bool:
    """Whether this login is refused before the password is looked at."""
    since = timezone.now() - WINDOW
    allowed = dict(zip(_keys(request, name), (BOTH, ADDRESS, NAME), strict=True))
    return any(
        Attempt.objects.filter(key=key, at__gt=since)[:most].count() >= most for key, most in allowed.items()
    )


def count_failure(request: HttpRequest, name: str) -> None:
    """Remember one failure, and forget those too old to count."""
    now = timezone.now()
    Attempt.objects.filter(at__lt=now - WINDOW).delete()
    Attempt.objects.bulk_create(Attempt(key=key, at=now) for key in _keys(request, name))


def forget_failures(request: HttpRequest, name: str) -> None:
    """After a good login, that name at that address starts anew."""
    Attempt.objects.filter(key=_keys(request, name)[0]).delete()


def _keys(request: HttpRequest, name: str) -> tuple[str, str, str]:
    address = request.META.get("REMOTE_ADDR", "")
    flat = name.casefold()
    return _key("both", f"{address} {flat}"), _key("address", address), _key("name", flat)


def _key(kind: str, value: str) -> str:
    return salted_hmac(f"login attempts by {kind}", value, algorithm="sha256").hexdigest()
