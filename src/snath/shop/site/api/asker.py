"""Who asks, what came along with what was asked, and how an answer other than the usual one is given."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from django.core.files.uploadedfile import UploadedFile

from snath.shop.records.people import Person


@dataclass(frozen=True, slots=True)
class Asker:
    """One request that was let in.

    Attributes
    ----------
    person : Person
        For whom the key asks.
    program : str
        What the key is for.
    file : UploadedFile or None
        The recording of a form.
    """

    person: Person
    program: str
    file: "UploadedFile[bytes] | None" = None


@dataclass(frozen=True, slots=True)
class Reply:
    """An answer with its own status."""

    status: int
    answer: object
    headers: Mapping[str, str] = field(default_factory=dict)
