"""Read a machine sheet: from its file, or from its text."""

import tomllib
from typing import Any

from snath.decisions.machine.parts import Machine
from snath.face.faults import language_of, mark_of, plainly
from snath.face.files import File, text_in
from snath.quantities.numbers import DecimalMark
from snath.shop.files.sheet_text import sheet_in


class Sheet:
    """A machine as its sheet describes it.

    Attributes
    ----------
    name, kind : str
        What it is called, and what kind of machine it is.
    shafts, members : tuple of str
        What turns, the crankshaft first, and what must not turn too fast, by name.
    text : str
        The sheet as it was read.
    machine : Machine
        The same in SI, with the doubt of every size.
    """

    def __init__(self, text: str, machine: Machine, decimal_mark: DecimalMark) -> None:
        self.text, self.machine, self.decimal_mark = text, machine, decimal_mark
        self.name, self.kind = machine.name, machine.kind
        self.shafts = tuple(machine.shafts)
        self.members = tuple(member.name for member in machine.members)

    def to_dict(self) -> dict[str, Any]:
        """The sheet's tables as they were written."""
        return tomllib.loads(self.text)

    def __repr__(self) -> str:
        return f"<Sheet: {self.name}, {self.kind}; {', '.join(self.members)}>"


Asked = Sheet | File


@plainly
def read_sheet(sheet: File, *, decimal_mark: DecimalMark = ".", language: str = "en") -> Sheet:
    """The machine a sheet describes.

    Parameters
    ----------
    sheet : str or path
        Where the sheet lies, or its text (TOML, see docs/sheet.md).
    decimal_mark : str
        How numbers inside quotation marks are written, unless the sheet says so itself: "." or ",".
    language : str
        Of what is said where it is refused: "en" or "de".

    Returns
    -------
    Sheet

    Raises
    ------
    InputError
        With every fault of the sheet and its line; also where there is no such file.

    See Also
    --------
    window : What engine speed that machine allows.

    References
    ----------
    docs/sheet.md: every key, and where its usual value comes from.

    Examples
    --------
    >>> machine = snath.read_sheet("examples/belt_28_inch.toml")
    >>> machine.members
    ('blade',)
    """
    language_of(language)
    return sheet_of("sheet", sheet, mark_of(decimal_mark) or ".")


def sheet_of(field: str, given: Asked, decimal_mark: DecimalMark) -> Sheet:
    """A sheet that was read before, or is named by its file or given as text."""
    if isinstance(given, Sheet):
        return given
    text = text_in(field, given)
    return Sheet(text, *sheet_in(text, decimal_mark))
