"""Find the shop's data folder, and close the parts of it that are nobody else's business."""

import json
import os
import secrets
import sys
import tomllib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from platformdirs import user_data_path

from snath.quantities.errors import InputError
from snath.quantities.message import Message

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl

FOLDER_VARIABLE = "SNATH_DATA"
VARIABLES = {  # what may be elsewhere, and where the environment says so
    "database": "SNATH_DATABASE",
    "attachments": "SNATH_ATTACHMENTS",
    "secret_key_file": "SNATH_SECRET_KEY_FILE",
}
OWNER_ONLY_FILE, OWNER_ONLY_FOLDER = 0o600, 0o700


@dataclass(frozen=True, slots=True)
class DataFolder:
    """The folder of one shop; knows names only, `prepare` makes what is missing."""

    path: Path

    @property
    def database(self) -> Path:
        return self.path / "shop.sqlite3"

    @property
    def begun(self) -> bool:
        """Whether a shop was begun here, in a file of its own or in a database that is named."""
        return self.database.exists() or bool(_said(self, "database"))

    @property
    def attachments(self) -> Path:
        """Photos and recordings; a folder elsewhere where several benches share one."""
        return Path(_said(self, "attachments") or self.path / "attachments")

    @property
    def secret_key(self) -> Path:
        """What sessions are signed with; a file elsewhere where several benches share one."""
        return Path(_said(self, "secret_key_file") or self.path / "secret-key")

    @property
    def certificates(self) -> Path:
        return self.path / "certificates"

    @property
    def settings(self) -> Path:
        """`shop.toml`, written by hand: where database, attachments and secret key are, where not in here."""
        return self.path / "shop.toml"


def data_folder(chosen: str | Path | None = None) -> DataFolder:
    """The folder asked for, else that of the environment, else the platform's own place for data."""
    named = chosen or os.environ.get(FOLDER_VARIABLE) or user_data_path("snath", appauthor=False)
    return DataFolder(Path(named).expanduser().absolute())


def prepare(folder: DataFolder) -> None:
    """Make the folder and its secret key, readable by their owner only.

    Raises
    ------
    InputError
        If the folder cannot be written, in words for the person who chose it.
    """
    try:
        for place in (folder.path, folder.attachments):
            place.mkdir(mode=OWNER_ONLY_FOLDER, parents=True, exist_ok=True)
        if not folder.secret_key.exists():
            write_private(folder.secret_key, secrets.token_urlsafe(64).encode())
    except OSError as fault:
        raise InputError(
            "data folder", folder.path, Message("records.folder-written", why=str(fault.strerror))
        ) from fault


def write_private(path: Path, content: bytes) -> None:
    """Write a file that only its owner can read from its first byte on, whole or not at all."""
    draft = path.with_name(f".{path.name}.{secrets.token_hex(8)}")
    try:
        with os.fdopen(os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, OWNER_ONLY_FILE), "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        draft.replace(path)
    finally:
        draft.unlink(missing_ok=True)


def remember_database(folder: DataFolder, address: str) -> None:
    """Write down which PostgreSQL database the shop uses from now on; empty returns to the file."""
    kept = _written(folder) | {"database": address}
    lines = [f"{name} = {json.dumps(text, ensure_ascii=False)}\n" for name, text in kept.items() if text]
    if lines:
        write_private(folder.settings, "".join(lines).encode())
    else:
        folder.settings.unlink(missing_ok=True)


def secret_key(folder: DataFolder) -> str:
    """The kept key, or one for this process only where the folder has not been prepared yet."""
    return folder.secret_key.read_text() if folder.secret_key.exists() else secrets.token_urlsafe(64)


def database_address(folder: DataFolder) -> str:
    """Address of a PostgreSQL database, or empty for the file in the folder."""
    return _said(folder, "database")


def _said(folder: DataFolder, name: str) -> str:
    """What the environment says of that, else `shop.toml`; empty where neither does."""
    variable = VARIABLES[name]
    return os.environ[variable] if variable in os.environ else _written(folder).get(name, "")


def _written(folder: DataFolder) -> dict[str, str]:
    if not folder.settings.exists():
        return {}
    try:
        said = tomllib.loads(folder.settings.read_text(encoding="utf-8"))
    except tomllib.TOMLDecodeError as fault:
        raise InputError(str(folder.settings), "", Message("fault.not-toml", why=str(fault))) from fault
    for name, value in said.items():
        if name not in VARIABLES or not isinstance(value, str):
            allowed = Message("records.setting-names", known=tuple(VARIABLES))
            raise InputError(str(folder.settings), f"{name} = {value}", allowed)
    return said


@contextmanager
def hold(folder: DataFolder) -> Iterator[None]:
    """Keep everybody else from serving, restoring or moving this folder at the same time.

    Raises
    ------
    InputError
        If somebody does so already.
    """
    with (folder.path / ".held").open("a+b") as file:
        try:
            _lock(file.fileno())
        except OSError:
            raise InputError("data folder", folder.path, Message("records.in-use")) from None
        yield


def _lock(handle: int) -> None:
    """Taken by the system away from a process that dies, so that nobody is locked out by a crash."""
    if sys.platform == "win32":
        msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
    else:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
