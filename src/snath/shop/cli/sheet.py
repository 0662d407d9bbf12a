"""Read a command's machine sheet, and answer the way it is written."""

from snath.decisions.machine.parts import Machine
from snath.quantities.numbers import DecimalMark
from snath.shop.cli.answer import note_habits
from snath.shop.files.sheet_text import sheet_in
from snath.shop.media.text_file import read_text


def machine_of(sheet: str, decimal_mark: DecimalMark) -> Machine:
    """The machine in a sheet; answers are given in the decimal mark and the lengths it is written with."""
    machine, mark = sheet_in(read_text(sheet, "sheet"), decimal_mark)
    note_habits(decimal_mark=mark, metric=machine.metric)
    return machine
