"""Read one entry of a machine sheet: text with a unit, within what is physically possible."""

import re
from collections.abc import Callable, Hashable, Iterator
from dataclasses import dataclass, replace
from typing import Annotated, Any, TypeVar, get_args

from pydantic import BaseModel, ConfigDict, PlainValidator, StringConstraints, ValidationInfo
from pydantic.fields import FieldInfo
from pydantic_core import PydanticCustomError

from snath.decisions.machine.condition_words import SPOKEN, condition_of
from snath.decisions.machine.parts import Condition
from snath.quantities.errors import InputError, between
from snath.quantities.measured import Measured
from snath.quantities.message import Message
from snath.quantities.numbers import DecimalMark, parse_number, percentage
from snath.quantities.units import Dimension, Quantity, in_unit, parse_quantity, show
from snath.quantities.words import one_of_words

NO_DOUBT = Message("sheet.no-doubt")
Reader = Callable[[Any, ValidationInfo], Any]


class Table(BaseModel):
    """A table of the sheet: unknown keys are refused, types are not bent."""

    # a table inside another is read by the outermost one's reader: none is built of its own before it is asked for
    model_config = ConfigDict(extra="forbid", strict=True, frozen=True, defer_build=True)


def refusal(allowed: Message | str, *, key: str = "", given: object = None) -> PydanticCustomError:
    """A fault for the sheet's list; with `key` it points at that key of the table being checked."""
    return PydanticCustomError("sheet", "refused", {"refusal": (allowed, key, given)})


def mark_of(info: ValidationInfo) -> DecimalMark:
    """The decimal mark the sheet is written with."""
    return "," if info.context and info.context["decimal_mark"] == "," else "."


Kind = TypeVar("Kind")


def readers(field: FieldInfo, kind: type[Kind]) -> Iterator[Kind]:
    """Those readers of that kind which an entry of a table has, for whoever asks for the entry."""
    waiting: list[Any] = [
        Annotated[field.annotation, *field.metadata] if field.metadata else field.annotation
    ]
    while waiting:
        part = waiting.pop()
        waiting += get_args(part) if isinstance(part, Hashable) else ()
        found = getattr(part, "func", None)
        if isinstance(found, kind):
            yield found


@dataclass(frozen=True, slots=True)
class Within:
    """Reads text of one dimension between two SI values, printed in `unit` when refused; what was read before stays."""

    dimension: Dimension
    low: float
    high: float
    unit: str

    def __call__(self, given: Any, info: ValidationInfo) -> Quantity:
        mark = mark_of(info)
        try:
            found = (
                given
                if isinstance(given, Quantity)
                else parse_quantity(given, dimension=self.dimension, field="", decimal_mark=mark)
            )
        except InputError as fault:
            raise refusal(fault.allowed) from None
        if not self.low <= found.measured.value <= self.high:
            ends = [self._shown(end, mark) for end in (self.low, self.high)]
            raise refusal(Message("sheet.between", low=ends[0], high=ends[1]))
        if self.low >= 0 and found.half_width >= found.measured.value > 0:
            raise refusal(Message("sheet.doubt-too-wide"))
        if self.dimension == "length" and has_tolerance(found) and found.half_width == 0:
            raise refusal(NO_DOUBT)
        return found

    def _shown(self, end: float, mark: DecimalMark) -> str:
        """An end of the range; a small one with so many places that it is not 0."""
        digits = 2 if 0 < in_unit(end, self.unit) < 0.05 else None
        return show(end, self.unit, digits=digits, decimal_mark=mark)


def quantity(dimension: Dimension, low: float, high: float, unit: str) -> PlainValidator:
    """An entry with a unit; see `Within`."""
    return PlainValidator(Within(dimension, low, high, unit))


def share(high: float) -> PlainValidator:
    """Reads a percentage up to `high`, a fraction."""

    def read(text: Any, info: ValidationInfo) -> float:
        try:
            return percentage(text, field="", decimal_mark=mark_of(info), most=high)
        except InputError as fault:
            raise refusal(fault.allowed) from None

    return PlainValidator(read)


def ratio(low: float, high: float) -> PlainValidator:
    """Reads a bare number, as text or as a TOML number."""

    def read(given: Any, info: ValidationInfo) -> float:
        mark = mark_of(info)
        allowed = between(low, high)
        if isinstance(given, int | float) and not isinstance(given, bool):
            value = float(given)
        else:
            try:
                value = float(parse_number(given, field="", decimal_mark=mark, allowed=allowed))
            except InputError as fault:
                raise refusal(fault.allowed) from None
        if not low <= value <= high:
            raise refusal(allowed)
        return value

    return PlainValidator(read)


@dataclass(frozen=True, slots=True)
class OneOf:
    """Takes one of the words."""

    words: tuple[str, ...]

    def __call__(self, given: Any) -> str:
        if not isinstance(given, str) or given not in self.words:
            raise refusal(one_of_words(self.words, given))
        return given


def choice(words: tuple[str, ...]) -> PlainValidator:
    """An entry that is one of the words."""
    return PlainValidator(OneOf(words))


def read_condition(*meant: Condition) -> PlainValidator:
    """Takes what a condition is called, with blades or without, where it means one of these."""
    words = tuple(word for word in SPOKEN if condition_of(word) in meant)

    def read(given: Any) -> Condition:
        found = condition_of(given) if isinstance(given, str) else None
        if found is None or found not in meant:
            raise refusal(one_of_words(words, given))
        return found

    return PlainValidator(read)


def date_made(given: Any) -> int | str:
    """Reads the year something was made, or its month."""
    if isinstance(given, int) and not isinstance(given, bool) and 1850 <= given <= 2200:
        return given
    if isinstance(given, str) and MONTH.fullmatch(given):
        return given
    raise refusal(Message("sheet.year-or-month", low=1850, high=2200))


def one_of(table: Table, kinds: tuple[str, ...]) -> str:
    """The one kind that is given; refused when none or several are."""
    given = [kind for kind in kinds if getattr(table, kind) is not None]
    if len(given) != 1:
        raise refusal(Message("sheet.exactly-one", known=kinds), given=", ".join(given) or "nothing")
    return given[0]


def texts(found: list[Quantity]) -> str:
    """Several entries as they were written."""
    return ", ".join(one.text for one in found)


def named(found: Quantity, path: str) -> Measured:
    """The measured value with its uncertainty traced to its place on the sheet."""
    source = Message("budget.as-measured", field=path)
    lines = tuple(replace(line, source=source) for line in found.measured.lines)
    return Measured(found.measured.value, lines)


def has_tolerance(found: Quantity) -> bool:
    """Whether a plus-or-minus was written behind the value."""
    return "±" in found.text or "+" in found.text


INCH = 0.0254
RPM = 1 / 60
PRINTED = r"^[^\x00]*$"  # no file and no database takes a zero byte
MONTH = re.compile(r"(18[5-9]|19[0-9]|20[0-9]|21[0-9])[0-9]-(0[1-9]|1[0-2])")
Name = Annotated[str, StringConstraints(min_length=1, max_length=60, strip_whitespace=True, pattern=PRINTED)]
PulleyName = Annotated[str, StringConstraints(max_length=60, strip_whitespace=True, pattern=PRINTED)]
Text = Annotated[str, StringConstraints(max_length=2000, pattern=PRINTED)]
BladeLength = Annotated[Quantity, quantity("length", 2 * INCH, 144 * INCH, "in")]
ArmLength = Annotated[Quantity, quantity("length", 1 * INCH, 72 * INCH, "in")]
BarWidth = Annotated[Quantity, quantity("length", INCH / 4, 24 * INCH, "in")]
WheelDiameter = Annotated[Quantity, quantity("length", INCH / 4, 80 * INCH, "in")]
SheaveDiameter = Annotated[Quantity, quantity("length", INCH, 60 * INCH, "in")]
GrooveOffset = Annotated[Quantity, quantity("length", 0, 2 * INCH, "in")]
ShaftSpeed = Annotated[Quantity, quantity("rotation", 50 * RPM, 30_000 * RPM, "rpm")]
SpeedTolerance = Annotated[Quantity, quantity("rotation", 0, 2_000 * RPM, "rpm")]
RideBy = Annotated[Quantity, quantity("length", 0, 0.75 * INCH, "in")]
SurfaceSpeed = Annotated[Quantity, quantity("speed", 1, 200, "m/s")]
Frequency = Annotated[Quantity, quantity("frequency", 10, 1_000, "Hz")]
Turns = Annotated[Quantity, quantity("turns", 0.001, 10_000, "turns")]
CrankAngle = Annotated[Quantity, quantity("angle", 0, 13, "deg")]
Made = Annotated[int | str, PlainValidator(date_made)]
CuttingWidth = Annotated[Quantity, quantity("length", 4 * INCH, 300 * INCH, "in")]
Weight = Annotated[Quantity, quantity("mass", 0.5, 5_000, "kg")]
Power = Annotated[Quantity, quantity("power", 100, 200_000, "kW")]
Droop = Annotated[float, share(0.5)]
Slip = Annotated[float, share(0.2)]
SpeedRatio = Annotated[float, ratio(0.02, 50)]
