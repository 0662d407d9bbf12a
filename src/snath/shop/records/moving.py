"""The shop outgrows its file, or returns to it: everything goes over, is compared, and only then counts."""

from collections.abc import Callable
from dataclasses import dataclass

from django.contrib.sessions.models import Session
from django.core.management import call_command
from django.db import connections, transaction

from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.shop.records import rows
from snath.shop.records.backup import digest_of
from snath.shop.records.jobs import ChainHead
from snath.shop.records.log import end_of_chain
from snath.shop.records.readable import STEP
from snath.shop.records.rows_back import read_lines
from snath.shop.site.migrating import whole

TARGET = "target"


@dataclass(frozen=True, slots=True)
class Moved:
    """How many rows went over."""

    rows: int


def move(where: str, remember: Callable[[], None]) -> Moved:
    """Copy every row from the shop's database into the empty one open as `target`, then close the old one.

    `remember` makes the shop use the new one from its next start. Nobody can save meanwhile, and phones
    stay logged in. The old database keeps all it holds, and says where the shop went when somebody
    still saves to it.

    Raises
    ------
    InputError
        If the target is in use, or does not come out equal; the shop then stays where it is.
    """
    with whole(connections[TARGET]):
        call_command("migrate", database=TARGET, verbosity=0, interactive=False)
    with transaction.atomic():
        _hold_still()
        head = end_of_chain()
        if head.closed:
            raise InputError("data folder", "its database", Message("records.closed", why=head.closed))
        with transaction.atomic(using=TARGET):
            count = read_lines(TARGET, rows.lines("default", secrets=True))
            Session.objects.using(TARGET).bulk_create(Session.objects.all(), batch_size=STEP)
        if digest_of(TARGET) != digest_of("default"):
            raise InputError("target", where, Message("records.came-out-different"))
        remember()
        ChainHead.objects.filter(pk=head.pk).update(closed=f"moved to {where}"[:200])
    return Moved(count)


def _hold_still() -> None:
    """Let nobody change a row of the old database until this transaction ends."""
    connection = connections["default"]
    if connection.vendor == "postgresql":  # SQLite's write lock, taken at the start, does it already
        names = ", ".join(connection.ops.quote_name(model._meta.db_table) for model in rows.KEPT)
        with connection.cursor() as cursor:
            cursor.execute(f"LOCK TABLE {names} IN EXCLUSIVE MODE")
