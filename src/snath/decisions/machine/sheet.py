"""Read a machine sheet: the machine it describes, or every fault in it at once."""

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from itertools import chain
from typing import Any

from snath.decisions.machine.couplings_from_sheet import coupling_of
from snath.decisions.machine.parts import Coupling, Machine
from snath.decisions.machine.sheet_build import machine_of
from snath.decisions.machine.sheet_couplings import COUPLING_KINDS
from snath.decisions.machine.sheet_doubt import Unsaid
from snath.decisions.machine.sheet_fields import one_of
from snath.decisions.machine.sheet_pulleys import belt_ends, faults_of_pulleys
from snath.decisions.machine.sheet_schema import SheetTable
from snath.decisions.machine.sheet_tree import faults_of_tree
from snath.decisions.machine.sheet_validation import validate
from snath.quantities.errors import InputError, InputErrors
from snath.quantities.message import Message
from snath.quantities.numbers import DecimalMark
from snath.quantities.toml_text import Fault, read_toml

LENGTHS = re.compile(r"[0-9¼½¾] ?(mm|cm|in|ft)\b(?!/)")


def read_sheet(text: str, *, decimal_mark: DecimalMark = ".") -> Machine:
    """The machine a sheet describes.

    Parameters
    ----------
    text : str
        TOML, see docs/sheet.md.
    decimal_mark : str
        How numbers inside quotation marks are written, unless the sheet says so itself.

    Raises
    ------
    InputErrors
        With every fault: the key, what was given, what would do, and its line.
    """
    toml = read_toml(text, field="sheet")
    faults = faults_of_tree(toml.data)
    table = validate(toml, SheetTable, decimal_mark=decimal_mark, beside=faults)
    unsaid = Unsaid()
    couplings = _couplings(table, faults, unsaid)
    if faults:
        raise toml.errors(faults)
    return replace(machine_of(table, couplings, unsaid), metric=_is_metric(toml.data))


def _is_metric(data: Any) -> bool:
    """Whether more lengths of a sheet are written in metric units than in inches and feet."""
    found = Counter(unit for text in _texts(data) for unit in LENGTHS.findall(text))
    return found["mm"] + found["cm"] > found["in"] + found["ft"]


def _texts(data: Any) -> Iterator[str]:
    if isinstance(data, str):
        yield data
    elif isinstance(data, list):
        yield from chain.from_iterable(map(_texts, data))
    elif isinstance(data, dict):
        yield from chain.from_iterable(map(_texts, data.values()))


def describes(text: str, machine: Machine) -> bool:
    """Whether a sheet is that of this very machine; an empty one, or one that cannot be read, is nobody's."""
    try:
        return bool(text) and read_sheet(text) == machine
    except InputErrors:
        return False


def _couplings(table: SheetTable, faults: list[Fault], unsaid: Unsaid) -> tuple[Coupling, ...]:
    """The couplings; what their tables refuse on a closer look is added to the faults."""
    ends = belt_ends(table.coupling)
    of_pulleys = list(faults_of_pulleys(ends))
    if of_pulleys:
        faults += of_pulleys
        return ()
    built: list[Coupling] = []
    for place, row in enumerate(table.coupling):
        try:
            built.append(coupling_of(row, place, ends, unsaid))
        except InputError as fault:
            kind = one_of(row, COUPLING_KINDS)
            faults.append(
                Fault(
                    ("coupling", place, kind),
                    fault.given,
                    Message("fault.of-part", part=fault.field, fault=fault.allowed),
                )
            )
    return tuple(built)
