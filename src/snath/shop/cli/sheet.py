"""Read a command's machine sheet, and answer the way it is written."""

from snath.decisions.machine.parts import Machine
from snath.decisions.machine.sheet import read_sheet
from snath.quantities.numbers import DecimalMark
from snath.quantities.toml_text import parsed
from snath.shop.cli.answer import note_habits
from snath.shop.media.text_file import read_text


def machine_of(sheet: str, decimal_mark: DecimalMark) -> Machine:
    """The machine in a sheet; answers are given in the decimal mark and the lengths it is written with."""
    text = read_text(sheet, "sheet")
    machine = read_sheet(text, decimal_mark=decimal_mark)
    mark = parsed(text).get("decimal_mark", decimal_mark)
    note_habits(decimal_mark="," if mark == "," else ".", metric=machine.metric)
    return machine
