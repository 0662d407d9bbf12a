"""How does the program become pages: prepare the folder, bring the tables up to date, listen."""

import contextlib
import os
import socket
from dataclasses import dataclass
from pathlib import Path

import django
from django.core.management import call_command
from granian.constants import HTTPModes, Interfaces
from granian.http import HTTP1Settings
from granian.log import LogLevels
from granian.server import Server

from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.shop.site.certificates import Certificates
from snath.shop.site.data_folder import FOLDER_VARIABLE, DataFolder, prepare
from snath.shop.site.log_lines import logging_setup
from snath.shop.site.migrating import migrate

with contextlib.suppress(ImportError):  # no such limits on Windows
    import resource

SETTINGS_MODULE = "snath.shop.site.settings"
LOCAL = "127.0.0.1"
SILENT = 15_000  # ms a line may say nothing before, or between, requests; others may be waiting for its place
LINES = 4096  # lines at once, where the system gives as many


@dataclass(frozen=True, slots=True)
class Where:
    """Where pages are served, and whether to this machine only.

    Attributes
    ----------
    port, address : int, str
        Where to listen.
    hosts : tuple of str
        Names under which it is asked for, the best first.
    files : Certificates or None
        What it shows over HTTPS; without them it speaks plain HTTP.
    proxies : str
        Those that hand on requests from elsewhere and are believed about them; empty where there are none.
    """

    port: int
    address: str = LOCAL
    hosts: tuple[str, ...] = ("localhost", LOCAL)
    files: Certificates | None = None
    proxies: str = ""

    @property
    def from_elsewhere(self) -> bool:
        """Whether more than this machine can reach it, so that everybody logs in."""
        return bool(self.files or self.proxies)

    @property
    def urls(self) -> list[str]:
        """What to type into a browser."""
        if self.proxies:
            return [f"https://{self.hosts[0]}"]
        names = self.hosts if self.files else self.hosts[:1]
        return [f"{'https' if self.files else 'http'}://{host}:{self.port}" for host in names]


def start_django(folder: DataFolder, **variables: str) -> None:
    """Set up the web framework on this folder, in this process and in those it starts."""
    os.umask(0o077)  # database, attachments and exports are their owner's only
    prepare(folder)
    os.environ.update(
        {FOLDER_VARIABLE: str(folder.path), "DJANGO_SETTINGS_MODULE": SETTINGS_MODULE, **variables}
    )
    django.setup()


def bring_up_to_date() -> None:
    """Make or change the tables to what this program version needs, and drop sessions that are over."""
    migrate()
    call_command("clearsessions", verbosity=0)


def fill_demo_shop() -> None:
    """Put the invented shop into a folder that holds nothing yet."""
    # The demo imports tables, which can be read only after the framework has been started.
    from snath.shop.bench.demo.fill import fill_once

    fill_once()


def listen(where: Where, *, log_lines: bool = False) -> None:
    """Serve pages until told to stop.

    Raises
    ------
    InputError
        If something else listens there.
    """
    _must_be_free(where)
    key: Path | None = where.files.key if where.files else None
    chain: Path | None = where.files.chain if where.files else None
    Server(
        "snath.shop.site.server:application",
        address=where.address,
        port=where.port,
        interface=Interfaces.RSGI,
        workers=1,
        websockets=False,
        http=HTTPModes.http1,  # a line that says nothing is let go in this mode only
        http1_settings=HTTP1Settings(header_read_timeout=SILENT),
        backpressure=lines_at_once(),
        log_level=LogLevels.warning,
        log_dictconfig=logging_setup(lines=True) if log_lines else None,
        ssl_cert=chain,
        ssl_key=key,
    ).serve()


def lines_at_once() -> int:
    """How many lines are taken at once; asks the system for room first, and leaves half of it to files."""
    if "resource" not in globals():
        return LINES
    now, most = resource.getrlimit(resource.RLIMIT_NOFILE)
    wanted = 2 * LINES if most == resource.RLIM_INFINITY else min(2 * LINES, most)
    if wanted > now != resource.RLIM_INFINITY:
        resource.setrlimit(resource.RLIMIT_NOFILE, (wanted, most))
    return wanted // 2


def _must_be_free(where: Where) -> None:
    with socket.socket(socket.AF_INET6 if ":" in where.address else socket.AF_INET) as trying:
        if os.name != "nt":
            trying.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            trying.bind((where.address, where.port))
        except OSError as fault:
            raise InputError(
                "port",
                where.port,
                Message("records.port-free", address=where.address, why=str(fault.strerror)),
            ) from None
