"""One file that brings the whole shop back, tried out before it is called a backup.

It holds passwords' hashes, so it is its owner's only (0600); certificates, their keys and the folder's
secret key are never in it.
"""

import hashlib
import os
import secrets
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from django.core.management import call_command
from django.db import connections

from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.shop.records import rows
from snath.shop.records.archive import Restored, Tell, Written, no_one, read_archive, write_archive
from snath.shop.records.sealed import Sealer, is_sealed, unseal
from snath.shop.site.databases import another, throwaway


@dataclass(frozen=True, slots=True)
class Trial:
    """A backup was restored beside the shop: whether every row came out as it went in."""

    equal: bool
    restored: Restored


def backup(file: Path, *, passphrase: str = "", tell: Tell = no_one) -> Written:
    """Write a backup; the file has its name only once it is whole and on disk."""
    with whole_file(file) as out:
        if not passphrase:
            return write_archive(out, secrets=True, tell=tell)
        sealer = Sealer(out, passphrase)
        written = write_archive(sealer, secrets=True, tell=tell)  # type: ignore[arg-type]
        sealer.finish()
        return written


def restore(file: Path, *, passphrase: str = "", using: str = "default", keep_files: bool = True) -> Restored:
    """Bring a backup or an export back into an empty shop."""
    with opened(file, passphrase) as archive:
        return read_archive(archive, using=using, keep_files=keep_files)


def try_out(file: Path, written: Written, *, passphrase: str = "") -> Trial:
    """Restore a backup into a database made for this and thrown away, and compare every row."""
    with (
        tempfile.TemporaryDirectory(prefix="snath-trial-", ignore_cleanup_errors=True) as folder,
        another("trial", throwaway(Path(folder) / "trial.sqlite3")),
    ):
        _take_its_name_away(Path(folder))
        call_command("migrate", database="trial", verbosity=0, interactive=False)
        restored = restore(file, passphrase=passphrase, using="trial", keep_files=False)
        equal = digest_of("trial") == written.sha256
    return Trial(equal, restored)


def _take_its_name_away(folder: Path) -> None:
    """Open the trial database and remove its name at once, so that a killed backup leaves nothing behind."""
    connections["trial"].ensure_connection()
    shutil.rmtree(folder, ignore_errors=True)  # Windows keeps the names of open files; they go at the end


def digest_of(using: str) -> str:
    """SHA-256 over every row of a database, the same wherever the same records lie."""
    digest = hashlib.sha256()
    for line in rows.lines(using, secrets=True):
        digest.update(line.encode())
    return digest.hexdigest()


@contextmanager
def whole_file(file: Path) -> Iterator[BinaryIO]:
    """A file to write that only its owner can read, and that appears whole or not at all."""
    draft = file.with_name(f".{file.name}.{secrets.token_hex(8)}")
    nameless = _nameless(file.parent)
    try:
        exclusive = os.O_RDWR | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
        handle = nameless if nameless is not None else os.open(draft, exclusive, 0o600)
    except OSError as fault:
        raise InputError("file", file, Message("records.folder-to-write", why=str(fault.strerror))) from fault
    try:
        with os.fdopen(handle, "w+b") as out:
            yield out
            out.flush()
            os.fsync(out.fileno())
            if nameless is not None:
                _give_name(out.fileno(), draft)
        draft.replace(file)
    finally:
        draft.unlink(missing_ok=True)


def _nameless(folder: Path) -> int | None:
    """A file in that folder that has no name yet, so that a killed backup leaves none; None where there are none."""
    if not hasattr(os, "O_TMPFILE"):
        return None
    try:
        return os.open(folder, os.O_TMPFILE | os.O_RDWR, 0o600)
    except OSError:  # some file systems know no such files; what else is wrong shows where a name is made
        return None


def _give_name(handle: int, draft: Path) -> None:
    folder = os.open(draft.parent, os.O_RDONLY)
    try:  # only with a folder given does the link follow what stands for the open file (link(2), linkat(2))
        os.link(f"/proc/self/fd/{handle}", draft.name, dst_dir_fd=folder, follow_symlinks=True)
    finally:
        os.close(folder)


@contextmanager
def opened(file: Path, passphrase: str) -> Iterator[BinaryIO]:
    """The archive inside a backup, unsealed into a nameless file where a passphrase closes it."""
    try:
        source = file.open("rb")
    except OSError as fault:
        raise InputError("file", file, Message("records.file-to-read", why=str(fault.strerror))) from fault
    with source:
        if not is_sealed(source):
            yield source
            return
        if not passphrase:
            raise InputError("passphrase", "", Message("records.passphrase-needed"))
        with tempfile.TemporaryFile() as plain:
            unseal(source, passphrase, plain)
            plain.seek(0)
            yield plain
