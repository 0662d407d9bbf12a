"""`snath serve`: the bench as pages in a browser."""

from pathlib import Path

import click
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError

from snath.quantities.errors import InputError
from snath.shop.cli.answer import speaks_plainly
from snath.shop.cli.shop_data import data_option, plain_about_disk
from snath.shop.site.certificates import authority, certificates, fingerprint
from snath.shop.site.data_folder import DataFolder, data_folder, held, prepare
from snath.shop.site.lan import lan_address, lan_name
from snath.shop.site.readers import usual_readers
from snath.shop.site.serve import Where, bring_up_to_date, fill_demo_shop, listen, start_django


@click.command()
@click.option(
    "--port", type=click.IntRange(1, 65535), default=8077, show_default=True, help="Where to listen."
)
@data_option
@click.option("--demo", is_flag=True, help="Fill a new data folder with an invented shop.")
@click.option("--lan", is_flag=True, help="Also for phones in the shop: HTTPS, and everybody logs in.")
@click.option("--name", help="With --lan: this machine's name in the network.  [default: its own, .local]")
@click.option("--address", help="With --lan: this machine's address.  [default: found out]")
@speaks_plainly
def serve(port: int, data: Path | None, demo: bool, lan: bool, name: str | None, address: str | None) -> None:
    """Serve the bench. Without --lan it listens on this machine only and asks nobody for a name."""
    folder = data_folder(data)
    prepare(folder)
    where = _lan(folder, port, name, address) if lan else Where(port)
    start_django(
        folder,
        SNATH_PORT=str(port),
        SNATH_DEMO="1" if demo else "0",
        SNATH_LAN="1" if lan else "0",
        SNATH_HOSTS=",".join(where.hosts),
        SNATH_READERS=str(usual_readers()),
    )
    with plain_about_disk(folder), held(folder):
        bring_up_to_date()
        if demo:
            fill_demo_shop()
        if lan:
            _first_owner()
            click.echo(f"Fingerprint to compare on a phone ({where.url_of(where.hosts[1])}/trust/):")
            click.echo(fingerprint(authority(folder) or b""))
        for host in where.hosts if lan else where.hosts[:1]:
            click.echo(where.url_of(host))
        click.echo(f"(data in {folder.path}; stop with Ctrl+C)")
        listen(where)


def _lan(folder: DataFolder, port: int, name: str | None, address: str | None) -> Where:
    found, named = lan_address(address), lan_name(name)
    host = f"[{found}]" if ":" in found else found
    return Where(port, found, (named, host), certificates(folder, named, found))


def _first_owner() -> None:
    """Before anybody can come in from the network, somebody must own the shop."""
    from snath.shop.records.people import Role
    from snath.shop.records.staff import add_person, has_owner

    if has_owner():
        return
    click.echo("Nobody owns this shop yet. The owner logs in with a name and a password:")
    name = click.prompt("Name", type=str)[:60]
    password = click.prompt("Password", hide_input=True, confirmation_prompt="The same again")
    try:
        validate_password(password)
    except ValidationError as fault:
        raise InputError("password", "(not shown)", " ".join(fault.messages)) from None
    add_person(name, Role.OWNER, password)
