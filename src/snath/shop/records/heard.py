"""What live pages heard just now, for benches that share a database: the next piece may meet another bench.

On a file there is one bench, which remembers what it heard by itself; nothing is written down then.
"""

from collections.abc import Iterable
from datetime import timedelta

from django.db import connection
from django.utils import timezone

from snath.shop.records.recordings import HeardPiece

KEPT_FOR = timedelta(minutes=2)


def shared() -> bool:
    """Whether other benches may work with this database, too."""
    return connection.vendor == "postgresql"


def keep_piece(page: str, *, number: int, start: int, rate: int, sound: bytes) -> None:
    """Write a piece down for the others, and drop what nobody needs any more.

    Parameters
    ----------
    page : str
        Which page heard it.
    number, start, rate : int
        Which piece it is, the sample it begins at, and samples a second.
    sound : bytes
        Mono, 16 bit, least byte first.
    """
    now = timezone.now()
    HeardPiece.objects.filter(at__lt=now - KEPT_FOR).delete()
    HeardPiece.objects.create(page=page, number=number, start=start, rate=rate, sound=sound, at=now)


def pieces(page: str, *, after: int, before: int | None = None) -> Iterable[HeardPiece]:
    """What that page sent to any bench, in order."""
    rows = HeardPiece.objects.filter(page=page, number__gt=after).order_by("number", "pk")
    return rows if before is None else rows.filter(number__lt=before)
