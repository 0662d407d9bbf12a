"""What a shop learned of its recordings lies beside its records, as a file: byte for byte into a backup and back."""

import zipfile

from django.conf import settings

from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.shop.media.comparisons import NAME
from snath.shop.site.data_folder import write_private

COMPARISONS = NAME
LARGEST = 50_000_000  # bytes


def comparisons_here() -> bytes:
    """Every comparison of this shop as it is written down, empty where nothing was ever compared."""
    try:
        content: bytes = (settings.FOLDER.path / COMPARISONS).read_bytes()
    except FileNotFoundError:
        return b""
    return content


def take_comparisons(archive: zipfile.ZipFile, *, keep: bool) -> None:
    """Put the comparisons of an archive, where it has any, to where this shop looks for them.

    Raises
    ------
    InputError
        If others are here already, which would be lost.
    """
    if COMPARISONS not in archive.namelist():
        return
    if archive.getinfo(COMPARISONS).file_size > LARGEST:
        raise InputError("file", COMPARISONS, Message("fault.megabytes", most=LARGEST // 1_000_000))
    content, here = archive.read(COMPARISONS), comparisons_here()
    if not keep or here == content:
        return
    if here:
        raise InputError("data folder", COMPARISONS, Message("records.other-comparisons"))
    write_private(settings.FOLDER.path / COMPARISONS, content)
