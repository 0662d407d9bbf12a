"""`snath verify`: find whatever was changed in saved versions, attachments or a sealed file."""

from pathlib import Path

import click

from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.shop.cli.answer import answer, answers_plainly
from snath.shop.cli.codes import DONE, FAILED
from snath.shop.cli.shop_data import data_option, shop
from snath.shop.cli.verify_words import in_data, in_words, records_in_data, records_in_words
from snath.shop.paper.sealed_check import SealCheck, check_sealed


@click.command()
@click.argument("file", type=click.Path(path_type=Path, exists=True, dir_okay=False), required=False)
@click.option("--seal", default="", help="With FILE: the SHA-256 you were told by another road.")
@data_option
@answers_plainly
def verify(file: Path | None, seal: str, data: Path | None, as_json: bool) -> None:
    """Work every hash out again: of a shop's records, or of one sealed FILE.

    Without FILE: the chains of saved versions and of who did what, the bytes of every attachment, the list of jobs,
    evidence, instruments and own rules; what that cannot prove is said. With FILE, a
    sealed file of a job: every part of it against its list; with --data also whether that job stands in the
    shop's records as it stands in FILE. Exit code 1 where anything was changed, cut off or added.
    """
    if file is not None:
        _sealed(file, seal, data, as_json=as_json)
    elif seal:
        raise InputError("seal", seal, Message("records.seal-with-file"))
    else:
        _records(data, as_json=as_json)


def _sealed(file: Path, seal: str, data: Path | None, *, as_json: bool) -> None:
    try:
        with file.open("rb") as opened:
            check = check_sealed(opened, seal=seal)
    except PermissionError as fault:
        raise InputError("file", file, Message("records.file-to-read", why=str(fault.strerror))) from None
    saved = None if data is None or not check.whole else _saved_so(file, check, data)
    whole = check.whole and saved is not False
    answer(
        in_data(check, saved),
        "\n".join(in_words(file.name, check, saved)),
        as_json=as_json,
        code=DONE if whole else FAILED,
    )


def _saved_so(file: Path, check: SealCheck, data: Path) -> bool:
    """Whether the shop's records hold that version, with the same job in it."""
    with shop(data, alone=False, there=True):
        from snath.shop.records.sealed_version import saved_as_sealed  # needs a started framework

        return saved_as_sealed(file, check.record)


def _records(data: Path | None, *, as_json: bool) -> None:
    with shop(data, alone=False, damaged=True, there=True):
        from snath.shop.records.verify import verify as verified

        found = verified()
    answer(
        records_in_data(found),
        "\n".join(records_in_words(found)),
        as_json=as_json,
        code=DONE if found.whole else FAILED,
    )
