"""How does the program become pages: prepare the folder, bring the tables up to date, listen."""

import os

import django
from django.core.management import call_command
from granian.constants import Interfaces
from granian.log import LogLevels
from granian.server import Server

from snath.shop.site.data_folder import FOLDER_VARIABLE, DataFolder, prepare

SETTINGS_MODULE = "snath.shop.site.settings"
LOCAL_HOSTS = ("localhost", "127.0.0.1", "[::1]")
THREADS = 4


def start_django(folder: DataFolder, **variables: str) -> None:
    """Set up the web framework on this folder, in this process and in those it starts."""
    os.umask(0o077)  # database, attachments and exports are their owner's only
    prepare(folder)
    os.environ.update(
        {FOLDER_VARIABLE: str(folder.path), "DJANGO_SETTINGS_MODULE": SETTINGS_MODULE, **variables}
    )
    django.setup()


def bring_up_to_date() -> None:
    """Make or change the tables to what this program version needs."""
    call_command("migrate", verbosity=0, interactive=False)


def listen(port: int) -> None:
    """Serve pages on this machine only, until told to stop."""
    Server(
        "snath.shop.site.wsgi:application",
        address="127.0.0.1",
        port=port,
        interface=Interfaces.WSGI,
        workers=1,
        blocking_threads=THREADS,
        log_level=LogLevels.warning,
    ).serve()
