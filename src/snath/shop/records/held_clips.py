"""Clips that were given just now and are kept for nobody: files beside the attachments, with a row each.

The oldest make room, and what has not been used for ten minutes is dropped, unless it still waits to be read.
"""

from collections.abc import Iterable
from datetime import timedelta
from pathlib import Path
from uuid import UUID

from django.conf import settings
from django.db.models import Sum
from django.utils import timezone

from snath.shop.records.attachments import keep_bytes, place_of, plain_name
from snath.shop.records.people import Person
from snath.shop.records.recordings import HeldClip, Progress, RecordingAsk

LARGEST = 60_000_000  # bytes of a clip that is held, and read at once
MOST = 600_000_000  # bytes of all of them
FORGOTTEN_AFTER = timedelta(minutes=10)
FOLDER = ".held"


def held_place(sha256: str) -> Path:
    """Where a held clip lies."""
    return Path(settings.MEDIA_ROOT) / FOLDER / place_of(sha256).name


def source_of(sha256: str) -> Path | None:
    """Where bytes of that hash lie, kept or only held; None where they are gone."""
    return next((place for place in (place_of(sha256), held_place(sha256)) if place.is_file()), None)


def hold(person: Person, name: str, chunks: Iterable[bytes]) -> HeldClip:
    """Hold a clip for that person.

    Raises
    ------
    InputError
        If it is larger than `LARGEST`.
    """
    kept = keep_bytes(chunks, field="clip", largest=LARGEST, place=held_place)
    row = HeldClip.objects.create(
        person=person, name=plain_name(name), sha256=kept.sha256, size=kept.size, used_at=timezone.now()
    )
    drop_unused()
    return row


def held_clip(person: Person, key: str) -> HeldClip | None:
    """The clip behind a key of that person; None where it is gone."""
    try:
        named = UUID(key)
    except ValueError:
        return None
    row = HeldClip.objects.filter(
        pk=named, person=person, used_at__gt=timezone.now() - FORGOTTEN_AFTER
    ).first()
    if row is None or source_of(row.sha256) is None:
        return None
    row.used_at = timezone.now()
    row.save(update_fields=["used_at"])
    return row


def drop_unused() -> None:
    """Drop what nobody used for ten minutes, and the oldest where all together are too many."""
    HeldClip.objects.filter(used_at__lt=timezone.now() - FORGOTTEN_AFTER).delete()
    while (HeldClip.objects.aggregate(size=Sum("size"))["size"] or 0) > MOST:
        HeldClip.objects.order_by("used_at")[:1].get().delete()
    wanted = set(HeldClip.objects.values_list("sha256", flat=True))
    wanted |= set(RecordingAsk.objects.exclude(progress=Progress.DONE).values_list("source", flat=True))
    folder = Path(settings.MEDIA_ROOT) / FOLDER
    for file in folder.iterdir() if folder.is_dir() else ():
        if file.name not in wanted and _is_old(file):
            file.unlink(missing_ok=True)


def _is_old(file: Path) -> bool:
    """Whether nobody can be just about to add its row."""
    try:
        return abs(timezone.now().timestamp() - file.stat().st_mtime) > 60.0  # ahead: the clock was wrong
    except OSError:
        return False
