"""Which recordings wait to be read, who reads which of them now, and what came out?

The line is a table, so that it outlives the bench, and benches on one database share it. Whoever reads a
recording holds it by a lease that it goes on renewing; a lease that ran out is free again, so that a reader
that died loses nothing. PostgreSQL passes over rows another one is just taking; SQLite lets one write at a time.
"""

from datetime import timedelta

from django.db import transaction
from django.db.models import Q, QuerySet
from django.utils import timezone
from django.utils.translation import gettext

from snath.quantities.errors import InputError
from snath.shop.records.people import Person
from snath.shop.records.recordings import Progress, RecordingAsk

LEASE = timedelta(seconds=20)
LONGEST_LEASE = timedelta(minutes=10)  # further ahead it was given by a clock that was wrong
TRIES = 2  # readers one recording may bring down before it is given up
KEPT_FOR = timedelta(days=1)  # an answer, after it was found
MOST_OF_ONE, MOST = 12, 100  # that may wait, of one person and of all


class TooManyWait(InputError):
    """So many wait to be read that no other is taken now."""


@transaction.atomic
def ask(person: Person, *, key: str, source: str, asked: str, path: str, entries: str) -> RecordingAsk:
    """Put a recording at the end of the line; what the same form waits for already keeps its place.

    Parameters
    ----------
    person : Person
        Who asks.
    key : str
        Stands for the recording and all that was said of it: the same key has the same answer.
    source : str
        SHA-256 of the recording.
    asked : str
        What was said of it, as JSON.
    path, entries : str
        The form that waits for the answer: its address, and its boxes as JSON.

    Raises
    ------
    TooManyWait
        Where it would be one too many.
    """
    open_now = RecordingAsk.objects.select_for_update().exclude(progress=Progress.DONE)
    mine = open_now.filter(person=person, key=key, path=path).first()
    if mine is not None:
        mine.entries = entries
        mine.save(update_fields=["entries"])
        return mine
    waiting = list(open_now.values_list("person_id", flat=True)[:MOST])
    if len(waiting) >= MOST or waiting.count(person.pk) >= MOST_OF_ONE:
        words = gettext("so many wait to be read already (%(count)d): try again in a few minutes")
        raise TooManyWait("clip", gettext("this one"), words % {"count": len(waiting)})
    return RecordingAsk.objects.create(
        person=person,
        key=key,
        source=source,
        asked=asked,
        path=path,
        entries=entries,
        asked_at=timezone.now(),
    )


def newest_answer(key: str) -> RecordingAsk | None:
    """The newest answer to the same question; None where nobody has it."""
    return RecordingAsk.objects.filter(key=key, progress=Progress.DONE).order_by("-pk").first()


def place(row: RecordingAsk) -> int:
    """How many are read or wait before this one; 0 for what is read now."""
    if row.progress != Progress.WAITING:
        return 0
    return RecordingAsk.objects.exclude(progress=Progress.DONE).filter(pk__lt=row.pk).count()


def claim(holder: str) -> RecordingAsk | None:
    """Take the first that waits, or whose reader's lease ran out; None where there is none."""
    if not _free().exists():  # asked often: nothing is locked where nothing waits
        return None
    with transaction.atomic():
        row = _free().select_for_update(skip_locked=True).order_by("pk").first()
        if row is None:
            return None
        row.progress, row.holder = Progress.READING, holder
        row.leased_until, row.done_s, row.of_s = timezone.now() + LEASE, None, None
        row.save()
    return row


def _free() -> QuerySet[RecordingAsk]:
    now = timezone.now()
    lapsed = Q(leased_until__lt=now) | Q(leased_until__gt=now + LONGEST_LEASE)
    return RecordingAsk.objects.filter(Q(progress=Progress.WAITING) | Q(lapsed, progress=Progress.READING))


def renew(row: RecordingAsk, *, done_s: float | None, of_s: float | None) -> bool:
    """Go on holding it, and say how far it has been read; whether it was still held. [s]"""
    return _held(row).update(leased_until=timezone.now() + LEASE, done_s=done_s, of_s=of_s) == 1


def settle(row: RecordingAsk, answer: str) -> bool:
    """Keep the answer; False where another reader has taken it over meanwhile, which gives the same one."""
    return _held(row).update(progress=Progress.DONE, answer=answer, ended_at=timezone.now()) == 1


def put_back(row: RecordingAsk) -> bool:
    """It has brought a reader down: let it be read once more, at its old place; False where it is given up for good.

    Only this counts as a try: whoever stops or kills the bench ends its readers too, and that says nothing of what
    they were reading.
    """
    row.tries += 1
    if row.tries >= TRIES:
        return False
    _held(row).update(progress=Progress.WAITING, holder="", tries=row.tries)
    return True


def _held(row: RecordingAsk) -> QuerySet[RecordingAsk]:
    return RecordingAsk.objects.filter(pk=row.pk, holder=row.holder, progress=Progress.READING)


def sweep() -> None:
    """Forget answers nobody needs any more."""
    RecordingAsk.objects.filter(ended_at__lt=timezone.now() - KEPT_FOR).delete()
