"""`snath verify`: has anybody changed a saved version, an attachment or a sealed file?"""

from pathlib import Path

import click

from snath.quantities.errors import InputError
from snath.shop.cli.answer import answer, json_option, speaks_plainly
from snath.shop.cli.codes import DONE, FAILED
from snath.shop.cli.shop_data import data_option, shop
from snath.shop.cli.verify_words import in_data, in_words
from snath.shop.paper.sealed_check import SealCheck, check_sealed


@click.command()
@click.argument("file", type=click.Path(path_type=Path, exists=True, dir_okay=False), required=False)
@click.option("--seal", default="", help="With FILE: the SHA-256 you were told by another road.")
@data_option
@json_option
@speaks_plainly
def verify(file: Path | None, seal: str, data: Path | None, as_json: bool) -> None:
    """Work every hash out again: of a shop's records, or of one sealed FILE.

    Without FILE: the chain of hashes over all saved versions, and the bytes of every attachment. With FILE, a
    sealed file of a job: every part of it against its list; with --data also whether that job stands in the
    shop's records as it stands in FILE. Exit code 1 where anything was changed, cut off or added.
    """
    if file is not None:
        _sealed(file, seal, data, as_json=as_json)
    elif seal:
        raise InputError("seal", seal, "must come with the sealed file it belongs to")
    else:
        _records(data, as_json=as_json)


def _sealed(file: Path, seal: str, data: Path | None, *, as_json: bool) -> None:
    try:
        with file.open("rb") as opened:
            check = check_sealed(opened, seal=seal)
    except PermissionError:
        raise InputError("file", file, "must be a file this user can read") from None
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
    with shop(data, alone=False):
        from snath.shop.records.sealed_version import saved_as_sealed  # needs a started framework

        return saved_as_sealed(file, check.record)


def _records(data: Path | None, *, as_json: bool) -> None:
    with shop(data, alone=False, damaged=True):
        from snath.shop.records.attachments import damaged
        from snath.shop.records.chain import verify_chain
        from snath.shop.records.jobs import ChainHead

        breaks, spoiled = verify_chain(), [str(attachment.pk) for attachment in damaged()]
        head = ChainHead.objects.first()
    versions, newest = (head.sequence, head.hash) if head else (0, "")
    lines = [f"{versions} versions, newest hash {newest or '(none)'}"]
    lines += [f"version {found.sequence}: {found.what}" for found in breaks]
    lines += [f"attachment {key}: its bytes are missing or changed" for key in spoiled]
    lines += ["Nothing was changed."] if not (breaks or spoiled) else []
    answer(
        {
            "versions": versions,
            "newest_hash": newest,
            "breaks": [{"version": found.sequence, "what": found.what} for found in breaks],
            "damaged": spoiled,
        },
        "\n".join(lines),
        as_json=as_json,
        code=FAILED if breaks or spoiled else DONE,
    )
