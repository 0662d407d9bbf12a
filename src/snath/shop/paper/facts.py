"""What a sheet says besides job and result: who, for whom, under which number, with which seals and photos."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Photo:
    """A photo or recording named on the sheet by its hash."""

    name: str
    sha256: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class SheetFacts:
    """Everything that is written on paper and judged by nobody.

    Attributes
    ----------
    shop : str
        The shop's name.
    shop_lines : tuple of str
        Its address and telephone, line by line.
    number, version : str
        What people call the job, and which saved version this is.
    record_hash : str
        Hash of that version in the shop's chain.
    kept_by : str
        Program that saved that version, where one did; where another prints it, the paper says that its words may
        have changed since.
    printed_on : str
        Date of the print, ISO 8601.
    customer : str
        Whose machine it is.
    hours : str
        Reading of the hour meter, as read.
    blade_part, blade_condition : str
        Part number and what was seen.
    manual : str
        Manual with edition and page.
    read_by, set_by, countersigned_by : str
        Who did it.
    seals_found, seals_renewed : str
        As found and as left.
    photos : tuple of Photo
        What was kept beside the record.
    note : str
        Anything else worth keeping.
    opens : str
        Address behind the tag's square code: the record's random id and nothing else.
    one_person : bool
        Whether nobody is there to countersign; the sheet says so.
    """

    shop: str = ""
    shop_lines: tuple[str, ...] = ()
    number: str = ""
    version: str = ""
    record_hash: str = ""
    kept_by: str = ""
    printed_on: str = ""
    customer: str = ""
    hours: str = ""
    blade_part: str = ""
    blade_condition: str = ""
    manual: str = ""
    read_by: str = ""
    set_by: str = ""
    countersigned_by: str = ""
    seals_found: str = ""
    seals_renewed: str = ""
    photos: tuple[Photo, ...] = ()
    note: str = ""
    opens: str = ""
    one_person: bool = False


def is_somebody_else(name: str, *others: str) -> bool:
    """Whether a name is none of the others, however they are spaced or spelt in capitals."""
    return _plain(name) not in {_plain(other) for other in others}


def _plain(name: str) -> str:
    return " ".join(name.split()).casefold()
