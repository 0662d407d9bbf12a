"""`snath serve`: the bench as pages in a browser."""

import os
from pathlib import Path
from typing import TextIO

import click
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError

from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.shop.cli.answer import speaks_plainly
from snath.shop.cli.common import one_of
from snath.shop.cli.shop_data import data_option, plain_about_disk
from snath.shop.site.benches import serving
from snath.shop.site.certificates import authority, certificates, fingerprint
from snath.shop.site.data_folder import DataFolder, data_folder, hold, prepare
from snath.shop.site.forwarded import proxies_of
from snath.shop.site.lan import lan_address, lan_name
from snath.shop.site.migrating import must_fit
from snath.shop.site.readers import usual_readers
from snath.shop.site.serve import LOCAL, Where, bring_up_to_date, fill_demo_shop, listen, start_django


@click.command()
@click.option(
    "--port", type=click.IntRange(1, 65535), default=8077, show_default=True, help="Where to listen."
)
@data_option
@click.option("--demo", is_flag=True, help="Fill a new data folder with an invented shop.")
@click.option("--lan", is_flag=True, help="Also for phones in the shop: HTTPS, and everybody logs in.")
@click.option(
    "--behind-proxy",
    metavar="ADDRESSES",
    help="Behind a proxy that does HTTPS: its address, as 127.0.0.1 or 10.0.0.0/24, several with commas. "
    "Everybody logs in; what other machines say of whom they speak for is refused.",
)
@click.option(
    "--name",
    help="This machine's name in the network, or the one the proxy is reached by.  [default: its own, .local]",
)
@click.option("--address", help="Where to listen.  [default: with --lan found out, behind a proxy 127.0.0.1]")
@click.option(
    "--owner", envvar="SNATH_OWNER", help="Name of the first owner, where nobody can be asked for it."
)
@click.option(
    "--owner-password-file",
    type=click.File(encoding="utf-8"),
    envvar="SNATH_OWNER_PASSWORD_FILE",
    help="File whose first line is the first owner's password.",
)
@click.option(
    "--backup-to",
    type=click.Path(path_type=Path, file_okay=False),
    envvar="SNATH_BACKUP_TO",
    help="Folder for a backup a day, best on another disk. A week of them is kept, then one a week and one a month.",
)
@click.option(
    "--backup-passphrase-file",
    type=click.Path(path_type=Path, exists=True, dir_okay=False),
    envvar="SNATH_BACKUP_PASSPHRASE_FILE",
    help="File whose first line closes those backups.",
)
@one_of(
    "--log",
    "words",
    "lines",
    told="What goes wrong in words; or a JSON object a line, every request with its number.",
)
@speaks_plainly
def serve(
    port: int,
    data: Path | None,
    demo: bool,
    lan: bool,
    behind_proxy: str | None,
    name: str | None,
    address: str | None,
    owner: str | None,
    owner_password_file: TextIO | None,
    backup_to: Path | None,
    backup_passphrase_file: Path | None,
    log: str,
) -> None:
    """Serve the bench.

    Without --lan or --behind-proxy it listens on this machine only and asks nobody for a name.
    """
    if lan and behind_proxy is not None:
        raise InputError("behind-proxy", behind_proxy, Message("records.lan-or-proxy"))
    folder = data_folder(data)
    prepare(folder)
    where = Where(port)
    if behind_proxy is not None:
        where = _behind(behind_proxy, port, name, address)
    elif lan:
        where = _lan(folder, port, name, address)
    start_django(
        folder,
        SNATH_PORT=str(port),
        SNATH_DEMO="1" if demo else "0",
        SNATH_LAN="1" if where.from_elsewhere else "0",
        SNATH_PROXIES=where.proxies,
        SNATH_HOSTS=",".join(where.hosts),
        SNATH_READERS=str(usual_readers()),
        SNATH_LOG=log,
        SNATH_BACKUP_TO=_must_exist(backup_to),
        SNATH_BACKUP_PASSPHRASE_FILE=str(backup_passphrase_file or ""),
    )
    with plain_about_disk(folder), hold(folder):
        bring_up_to_date()
        if demo:
            fill_demo_shop()
        if where.from_elsewhere:
            _first_owner(owner, owner_password_file)
        if where.files:
            click.echo(f"Fingerprint to compare on a phone ({where.urls[1]}/trust/):")
            click.echo(fingerprint(authority(folder) or b""))
        for url in where.urls:
            click.echo(url)
        with serving(must_fit):
            click.echo(f"(data in {folder.path}; stop with Ctrl+C)")
            listen(where, log_lines=log == "lines")


def _must_exist(folder: Path | None) -> str:
    """The folder for backups, which must be there now: a disk that is not plugged in is no folder to make."""
    if folder is not None and not (folder.is_dir() and os.access(folder, os.W_OK)):
        raise InputError("backup-to", folder, Message("records.backup-folder"))
    return str(folder.absolute()) if folder else ""


def _lan(folder: DataFolder, port: int, name: str | None, address: str | None) -> Where:
    found, named = lan_address(address), lan_name(name)
    host = f"[{found}]" if ":" in found else found
    return Where(port, found, (named, host), certificates(folder, named, found))


def _behind(proxies: str, port: int, name: str | None, address: str | None) -> Where:
    if not proxies_of(proxies):
        raise InputError("behind-proxy", proxies, Message("records.proxy-needed"))
    if not name:
        raise InputError("name", "", Message("records.proxied-name"))
    return Where(port, address or LOCAL, (lan_name(name), "localhost", LOCAL), proxies=proxies)


def _first_owner(name: str | None, password_file: TextIO | None) -> None:
    """Before anybody can come in from elsewhere, somebody must own the shop."""
    from snath.shop.records.people import Role
    from snath.shop.records.staff import add_person, has_owner

    if has_owner():
        return
    try:
        if not (name and password_file):
            click.echo("Nobody owns this shop yet. The owner logs in with a name and a password:")
        named = name or click.prompt("Name", type=str)
        password = (
            password_file.readline().rstrip("\r\n")
            if password_file
            else click.prompt("Password", hide_input=True, confirmation_prompt="The same again")
        )
    except click.Abort:
        allowed = Message("records.owner-needed")
        raise InputError("owner", "nobody", allowed) from None
    try:
        validate_password(password)
    except ValidationError as fault:
        raise InputError("password", "(not shown)", " ".join(fault.messages)) from None
    add_person(named[:60], Role.OWNER, password)
