"""What every command that touches a shop's records needs: the folder, the tables, and plain words."""

from collections.abc import Iterator
from contextlib import contextmanager, nullcontext
from pathlib import Path
from typing import TextIO

import click
from django.db import DatabaseError

from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.shop.site.data_folder import DataFolder, data_folder, hold
from snath.shop.site.serve import bring_up_to_date, start_django

data_option = click.option(
    "--data", type=click.Path(path_type=Path), help="Data folder, instead of the platform's own place."
)
passphrase_option = click.option(
    "--passphrase-file",
    type=click.File(encoding="utf-8"),
    help='File whose first line is the passphrase; "-" reads it from the keyboard or a pipe.',
)


@contextmanager
def shop(
    data: Path | None, *, alone: bool, there: bool = False, damaged: bool = False, as_it_is: bool = False
) -> Iterator[DataFolder]:
    """The shop in that folder, its tables up to date; `alone` refuses while it is being served.

    With `there` a folder in which no shop was ever begun is refused: an empty shop is no backup of anything.
    With `damaged` a database that cannot be brought up to date because it is damaged is opened as it is, with
    `as_it_is` whatever the reason.

    Raises
    ------
    InputError
        Also for a full or locked disk, whatever part of the work met it.
    """
    folder = data_folder(data)
    if there and not folder.begun:
        raise InputError("data folder", folder.path, Message("records.of-a-shop"))
    start_django(folder)
    from snath.shop.records.disk import why_it_cannot_keep  # needs a started framework

    with plain_about_disk(folder), hold(folder) if alone else nullcontext():
        try:
            bring_up_to_date()
        except (DatabaseError, UnicodeDecodeError, InputError) as fault:
            if not (as_it_is or (damaged and why_it_cannot_keep(fault) == "damaged")):
                raise
        yield folder


@contextmanager
def plain_about_disk(folder: DataFolder) -> Iterator[None]:
    """Turn what a full, locked or failing disk raises into words."""
    from snath.shop.records.disk import MESSAGES, why_it_cannot_keep  # needs a started framework

    try:
        yield
    except (OSError, DatabaseError, UnicodeDecodeError) as fault:
        why = why_it_cannot_keep(fault)
        if why is None:
            raise
        raise InputError("data folder", folder.path, MESSAGES[why]) from fault


def passphrase_in(file: TextIO | None) -> str:
    """The passphrase of a file, empty where none was named.

    Raises
    ------
    InputError
        If it is shorter than 12 characters.
    """
    if file is None:
        return ""
    phrase: str = file.readline().rstrip("\r\n")
    if len(phrase) < 12:
        raise InputError("passphrase", "(not shown)", Message("records.passphrase-short", least=12))
    return phrase
