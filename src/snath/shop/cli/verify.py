"""`snath verify`: has anybody changed a saved version or an attachment?"""

from pathlib import Path

import click

from snath.shop.cli.answer import DONE, FAILED, answer, json_option, speaks_plainly
from snath.shop.cli.shop_data import data_option, shop


@click.command()
@data_option
@json_option
@speaks_plainly
def verify(data: Path | None, as_json: bool) -> None:
    """Check the chain of hashes over all saved versions, and the bytes of every attachment."""
    with shop(data, alone=False):
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
