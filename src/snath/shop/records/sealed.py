"""Close a backup with a passphrase, so that a lost stick tells nobody anything.

Key: scrypt over the passphrase. Content: AES-256-GCM in pieces, each bound to its place and the last
one marked, so that a piece changed, dropped, moved or cut off is refused. Both come from the
`cryptography` library; only the order of pieces is ours, because a backup does not fit in memory.
"""

import io
import os
from typing import Any, BinaryIO

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.kdf.scrypt import Scrypt

from snath.quantities.errors import InputError

MAGIC = b"snath-sealed-1\n"
SALT, START, TAG = 16, 7, 16
PIECE = 1 << 18
COST, BLOCK, LANES = 1 << 16, 8, 1  # 64 MB and a fraction of a second for each guess


def _cipher(passphrase: str, salt: bytes) -> AESGCM:
    return AESGCM(Scrypt(salt=salt, length=32, n=COST, r=BLOCK, p=LANES).derive(passphrase.encode()))


def _nonce(start: bytes, place: int, *, last: bool) -> bytes:
    return start + place.to_bytes(4, "big") + bytes([last])


class Sealer(io.RawIOBase):
    """A file to write into; what comes out at the other end can be read with the passphrase only."""

    def __init__(self, out: BinaryIO, passphrase: str) -> None:
        self.out, self.place, self.waiting = out, 0, bytearray()
        salt, self.start = os.urandom(SALT), os.urandom(START)
        self.cipher = _cipher(passphrase, salt)
        out.write(MAGIC + salt + self.start)

    def writable(self) -> bool:
        return True

    def write(self, data: Any) -> int:
        new = bytes(data)
        self.waiting += new
        while len(self.waiting) > PIECE:  # the last piece stays here until it is known to be the last
            self._piece(bytes(self.waiting[:PIECE]), last=False)
            del self.waiting[:PIECE]
        return len(new)

    def finish(self) -> None:
        """Write the last piece; without it the file is refused."""
        self._piece(bytes(self.waiting), last=True)
        self.waiting.clear()

    def _piece(self, data: bytes, *, last: bool) -> None:
        self.out.write(self.cipher.encrypt(_nonce(self.start, self.place, last=last), data, MAGIC))
        self.place += 1


def is_sealed(file: BinaryIO) -> bool:
    """Whether a passphrase is needed; leaves the file at its start."""
    found = file.read(len(MAGIC)) == MAGIC
    file.seek(0)
    return found


def unseal(file: BinaryIO, passphrase: str, out: BinaryIO) -> None:
    """Write what was sealed into another file.

    Raises
    ------
    InputError
        For the wrong passphrase, or a file that is not whole.
    """
    file.seek(len(MAGIC))
    cipher = _cipher(passphrase, file.read(SALT))
    start = file.read(START)
    place, piece = 0, file.read(PIECE + TAG)
    while True:
        following = file.read(PIECE + TAG)
        try:
            out.write(cipher.decrypt(_nonce(start, place, last=not following), piece, MAGIC))
        except (InvalidTag, ValueError):
            what = (
                "must be the one the backup was made with"
                if place == 0
                else "was right, but the file is damaged"
            )
            raise InputError("passphrase", "(not shown)", what) from None
        if not following:
            return
        place, piece = place + 1, following
