"""`snath serve`: the bench as pages in a browser."""

from pathlib import Path

import click

from snath.shop.cli.answer import speaks_plainly
from snath.shop.site.data_folder import data_folder
from snath.shop.site.serve import bring_up_to_date, listen, start_django


@click.command()
@click.option(
    "--port", type=click.IntRange(1, 65535), default=8077, show_default=True, help="Where to listen."
)
@click.option(
    "--data", type=click.Path(path_type=Path), help="Data folder, instead of the platform's own place."
)
@click.option("--demo", is_flag=True, help="Show an invented shop when the folder is new.")
@click.option("--lan", is_flag=True, help="Also for phones in the shop: HTTPS, and everybody logs in.")
@speaks_plainly
def serve(port: int, data: Path | None, demo: bool, lan: bool) -> None:
    """Serve the bench. Without --lan it listens on this machine only and asks nobody for a name."""
    del lan
    folder = data_folder(data)
    start_django(folder, SNATH_PORT=str(port), SNATH_DEMO="1" if demo else "0")
    bring_up_to_date()
    click.echo(f"http://localhost:{port}   (data in {folder.path}; stop with Ctrl+C)")
    listen(port)
