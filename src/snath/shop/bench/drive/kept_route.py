"""Where the belt of a job runs: a route file kept with the job, as a word beside the figures.

The text is that of a route file, so that what was typed on a page can be handed to the command line and
back. With it goes the drive that was picked, by stock rows, so that its parts list can be printed again
in years, whatever is in stock then.
"""

import json
import tomllib
from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace
from functools import cache
from typing import Any

from pydantic import TypeAdapter, ValidationError

from snath.decisions.drive.belt import Belt, belt_by_name
from snath.decisions.drive.confirm import Drive
from snath.decisions.drive.frame import Frame
from snath.decisions.drive.frame_sheet import read_frame
from snath.decisions.drive.positions import Choice
from snath.decisions.drive.stock import Stock, StockBelt, StockSheave
from snath.decisions.job.job import Job
from snath.decisions.machine.sheet_text import toml_text
from snath.formulas.belts.sections import groove_offset, has_offset
from snath.quantities.errors import InputError
from snath.quantities.numbers import DecimalMark, in_mark
from snath.quantities.toml_text import parsed

ROUTE, PICKED = "belt_route", "drive_picked"
SAME = 1e-9  # m


@dataclass(frozen=True, slots=True)
class Picked:
    """A drive that was picked into a job.

    Attributes
    ----------
    version : int
        The version of the job it came with; the version before holds machine and route as they were.
    pieces : tuple of str
        As `choose.pieces` names them.
    sheaves, belts : tuple
        The stock rows it was taken from, as they were.
    """

    version: int
    pieces: tuple[str, ...]
    sheaves: tuple[StockSheave, ...]
    belts: tuple[StockBelt, ...]

    @property
    def stock(self) -> Stock:
        """What to choose from so that this drive comes out again."""
        return Stock(self.sheaves, self.belts)


def route_of(job: Job) -> str:
    """The route text kept with a job; empty where there is none."""
    return dict(job.facts).get(ROUTE, "")


def frame_of(job: Job) -> Frame:
    """The frame kept with a job; its text says itself with which decimal mark it was written."""
    return read_frame(route_of(job))


def picked_of(job: Job) -> Picked | None:
    """The drive that was picked last; what cannot be read is none."""
    try:
        return _picked().validate_json(dict(job.facts).get(PICKED, ""))
    except ValidationError:
        return None


def with_route(job: Job, text: str) -> Job:
    """The job with another route."""
    return _with(job, ROUTE, text)


def with_picked(job: Job, picked: Picked) -> Job:
    """The job with the drive that was picked."""
    return _with(job, PICKED, json.dumps(asdict(picked), ensure_ascii=False))


def marked(text: str, mark: DecimalMark) -> str:
    """The text saying its decimal mark itself: another person reads it with other habits."""
    try:
        data = parsed(text)
    except tomllib.TOMLDecodeError:
        return text
    return text if mark == "." or "decimal_mark" in data else f'decimal_mark = "{mark}"\n{text}'


def refitted(text: str, drive: Drive, names: tuple[str, ...]) -> str:
    """The route with a drive's parts on it, `names` being the places in the order of its choices."""
    data = parsed(text)
    mark: DecimalMark = "," if data.get("decimal_mark") == "," else "."
    fresh = dict(zip(names, drive.candidate.choices, strict=True))
    data["pulley"] = [_pulley(row, fresh[row["name"]], mark) for row in data["pulley"]]
    if drive.candidate.belt.changed:
        data["belt"] = _belt(drive.candidate.belt.belt, mark)
    return toml_text(as_texts(data, mark))


def as_texts(data: Any, mark: DecimalMark) -> Any:
    """The same tables with every decimal number as text in the file's own mark."""
    if isinstance(data, Mapping):
        return {key: as_texts(value, mark) for key, value in data.items()}
    if isinstance(data, list):
        return [as_texts(value, mark) for value in data]
    return in_mark(repr(data), mark) if isinstance(data, float) else data


def _pulley(row: Mapping[str, Any], choice: Choice, mark: DecimalMark) -> dict[str, Any]:
    if not choice.changed:
        return dict(row)
    worn = ("datum", "datum_offset", "ride", "shiny_bottom", "wobble")
    new = {key: value for key, value in row.items() if key not in worn}
    new["outside"] = millimetres(choice.outside, mark)
    if not has_offset(choice.section) or abs(choice.offset - groove_offset(choice.section)) > SAME:
        new["datum_offset"] = millimetres(choice.offset, mark)
    return new


def _belt(belt: Belt, mark: DecimalMark) -> dict[str, Any]:
    row: dict[str, Any] = {"name": belt.name}
    if belt.part:
        row["part"] = belt.part
    if belt.aramid:
        row["aramid"] = True
    if not _by_name(belt):
        row["section"] = belt.section
        row["outside_length"] = millimetres(belt.length, mark)
        row["tolerance"] = millimetres(belt.tolerance, mark)
    return row


def _by_name(belt: Belt) -> bool:
    """Whether the designation alone gives this belt."""
    try:
        known = belt_by_name(belt.name)
    except InputError:
        return False
    return (known.section, known.line) == (belt.section, belt.line) and abs(known.length - belt.length) < SAME


def millimetres(metres: float, mark: DecimalMark) -> str:
    """A length as a route file or a sheet states it, to a tenth of a micrometre."""
    return in_mark(f"{metres * 1000:.4f}".rstrip("0").rstrip("."), mark) + " mm"


def _with(job: Job, name: str, text: str) -> Job:
    others = tuple(row for row in job.facts if row[0] != name)
    return replace(job, facts=(*others, (name, text)))


@cache
def _picked() -> TypeAdapter[Picked]:
    return TypeAdapter(Picked)
