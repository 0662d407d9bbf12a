"""Read the text of a machine sheet, with the decimal mark it is written in."""

from snath.decisions.machine.parts import Machine
from snath.decisions.machine.sheet import read_sheet
from snath.quantities.numbers import DecimalMark
from snath.quantities.toml_text import parsed


def sheet_in(text: str, decimal_mark: DecimalMark) -> tuple[Machine, DecimalMark]:
    """The machine, and the mark the sheet names for itself; else the one that was asked for.

    Raises
    ------
    InputErrors
        With every fault of the sheet and its line.
    """
    machine = read_sheet(text, decimal_mark=decimal_mark)
    return machine, "," if parsed(text).get("decimal_mark", decimal_mark) == "," else "."
