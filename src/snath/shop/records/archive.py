"""The whole shop in one file: `records.jsonl`, `comparisons.jsonl` and attachments in a zip, read back only whole.

The same records give the same bytes, whichever database they lie in; docs/records.md says what each
line means.
"""

import hashlib
import re
import shutil
import zipfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import IO, BinaryIO

from django.db import IntegrityError

from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.shop.records import rows
from snath.shop.records.attachments import CHUNK, hash_of_file, keep_bytes, place_of
from snath.shop.records.beside import COMPARISONS, comparisons_here, take_comparisons
from snath.shop.records.chain import Break, verify_chain
from snath.shop.records.jobs import SHA256, Attachment
from snath.shop.records.readable import Damaged, in_ranges, readable
from snath.shop.records.rows_back import LONGEST_LINE, is_empty, read_lines

RECORDS, ATTACHMENTS = "records.jsonl", "attachments/"
LINES = (RECORDS, COMPARISONS)
LARGEST_ATTACHMENT = 1_000_000_000

RecordLines = Callable[..., Iterator[str]]
Tell = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class Written:
    """What went into an archive.

    `missing` names attachments whose bytes are gone or changed, `damaged` rows that could not be taken along.
    """

    rows: int
    attachments: int
    missing: tuple[str, ...]
    sha256: str  # of records.jsonl
    damaged: tuple[Damaged, ...] = ()

    @property
    def whole(self) -> bool:
        """Whether everything was taken along."""
        return not (self.missing or self.damaged)


@dataclass(frozen=True, slots=True)
class Restored:
    """What came out of an archive; `breaks` is empty when the chain of hashes holds.

    `already` says that every row was there before, by a restore that was ended after its work was done.
    """

    rows: int
    attachments: int
    missing: tuple[str, ...]
    breaks: tuple[Break, ...]
    already: bool = False


def no_one(done: int, total: int) -> None:
    """Nobody waits to be told how far it is."""


def write_archive(
    out: BinaryIO,
    *,
    secrets: bool,
    using: str = "default",
    lines: RecordLines = rows.lines,
    files: bool = True,
    tell: Tell = no_one,
) -> Written:
    """Write everything as it is at this moment, while others may go on saving; without `files` rows only.

    Told is how many of how many attachments are written.

    What cannot be read is left out and named; the rest is written all the same.
    """
    digest, count, missing, kept = hashlib.sha256(), 0, [], 0
    damaged: list[Damaged] = []
    with zipfile.ZipFile(out, "w") as archive:
        with rows.one_moment(using):
            wanted = _hashes(using) if files else []
            with archive.open(_entry(RECORDS, zipfile.ZIP_DEFLATED), "w", force_zip64=True) as file:
                for count, line in enumerate(lines(using, secrets=secrets, damaged=damaged)):  # noqa: B007
                    digest.update(line.encode())
                    file.write(line.encode())
        for done, sha256 in enumerate(wanted, 1):
            tell(done, len(wanted))
            if hash_of_file(place_of(sha256)) != sha256:
                missing.append(sha256)
                continue
            with (
                place_of(sha256).open("rb") as source,
                archive.open(_entry(ATTACHMENTS + sha256, zipfile.ZIP_STORED), "w", force_zip64=True) as file,
            ):
                shutil.copyfileobj(source, file, CHUNK)
            kept += 1
        if files and (comparisons := comparisons_here()):
            archive.writestr(_entry(COMPARISONS, zipfile.ZIP_DEFLATED), comparisons)
    return Written(count, kept, tuple(missing), digest.hexdigest(), tuple(in_ranges(damaged)))


def _hashes(using: str) -> list[str]:
    found = {row.sha256 for row in readable(Attachment, using) if isinstance(row, Attachment)}
    return sorted(one for one in found if re.fullmatch(SHA256, one))


def _entry(name: str, compression: int) -> zipfile.ZipInfo:
    entry = zipfile.ZipInfo(name)  # its date is always 1980: the moment of writing is no record
    entry.compress_type = compression
    entry.external_attr = 0o600 << 16
    return entry


def read_archive(file: BinaryIO, *, using: str = "default", keep_files: bool = True) -> Restored:
    """Put an archive into an empty database: everything or nothing.

    Raises
    ------
    InputError
        If it is not such an archive, is damaged, or the database is in use.
    """
    try:
        with zipfile.ZipFile(file) as archive:
            names = _checked(archive)
            if not is_empty(using):
                if _is_here(archive, using):
                    return Restored(0, len(names), (), verify_chain(using), already=True)
                raise InputError("database", "in use", Message("records.empty-database"))
            for name in names:
                _take(archive, name, keep=keep_files)
            take_comparisons(archive, keep=keep_files)
            with archive.open(RECORDS) as records:
                count = read_lines(using, _lines(records))
    except (zipfile.BadZipFile, EOFError, NotImplementedError, RuntimeError) as fault:
        raise InputError(
            "file", getattr(file, "name", ""), Message("records.whole-archive", why=str(fault))
        ) from None
    except IntegrityError as fault:
        raise InputError("file", "", Message("records.every-row", why=str(fault))) from None
    held = {name.removeprefix(ATTACHMENTS) for name in names}
    missing = tuple(sha256 for sha256 in _hashes(using) if sha256 not in held)
    return Restored(count, len(names), missing, verify_chain(using))


def _is_here(archive: zipfile.ZipFile, using: str) -> bool:
    """Whether the database holds the archive's rows and no others."""
    with archive.open(RECORDS) as records:
        first = records.readline(LONGEST_LINE)
        given = hashlib.sha256(first)
        while piece := records.read(CHUNK):
            given.update(piece)
    held = hashlib.sha256()
    secrets = b'"secrets":true' in first
    for line in rows.lines(using, secrets=secrets, damaged=[]):
        held.update(line.encode())
    return held.digest() == given.digest()


def _checked(archive: zipfile.ZipFile) -> list[str]:
    """Names of the attachments; any name that is not ours, and could lead anywhere, is refused."""
    names = archive.namelist()
    kept = [name for name in names if name not in LINES]
    strange = [name for name in kept if not re.fullmatch(ATTACHMENTS + "[0-9a-f]{64}", name)]
    if strange or RECORDS not in names or len(set(names)) != len(names):
        allowed = Message("records.archive-holds", known=(RECORDS, COMPARISONS, ATTACHMENTS))
        raise InputError("file", strange[0] if strange else "", allowed)
    return kept


def _take(archive: zipfile.ZipFile, name: str, *, keep: bool) -> None:
    """Check one attachment's bytes against its name, and keep them."""
    wanted = name.removeprefix(ATTACHMENTS)
    digest = hashlib.sha256()
    with archive.open(name) as file:
        for chunk in iter(lambda: file.read(CHUNK), b""):
            digest.update(chunk)
    if digest.hexdigest() != wanted:
        raise InputError("file", name, Message("records.bytes-damaged"))
    if keep and hash_of_file(place_of(wanted)) != wanted:
        with archive.open(name) as file:
            keep_bytes(iter(lambda: file.read(CHUNK), b""), field="attachment", largest=LARGEST_ATTACHMENT)


def _lines(file: IO[bytes]) -> Iterator[str]:
    while line := file.readline(LONGEST_LINE):
        if len(line) == LONGEST_LINE:
            raise InputError("file", "", Message("records.line-length", most=LONGEST_LINE // 1_000_000))
        try:
            yield line.decode()
        except UnicodeDecodeError as fault:
            raise InputError("file", "", Message("records.utf-8", why=str(fault))) from None
