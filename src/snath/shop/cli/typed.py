"""What was typed as options of a command, read in the shop's units as it is asked for."""

from dataclasses import dataclass
from typing import Any

from snath.quantities.measured import Line, Measured
from snath.quantities.message import Dimension
from snath.quantities.numbers import DecimalMark
from snath.quantities.units import parse


@dataclass(frozen=True, slots=True)
class Typed:
    """Options by name, None where one was left out; a fault names its option in words."""

    options: dict[str, Any]
    decimal_mark: DecimalMark

    def __getitem__(self, name: str) -> Any:
        return self.options[name]

    def read(self, text: str, field: str, dimension: Dimension) -> Measured:
        """Its doubt named after the field, so that two readings are not one shared cause."""
        read = parse(text, dimension=dimension, field=field, decimal_mark=self.decimal_mark)
        lines = tuple(Line(field, line.u, line.dof, line.distribution) for line in read.lines)
        return Measured(read.value, lines)

    def measured(self, name: str, dimension: Dimension) -> Measured | None:
        """In SI with its doubt."""
        text = self.options[name]
        return None if text is None else self.read(text, name.replace("_", "-"), dimension)

    def maybe(self, name: str, dimension: Dimension) -> float | None:
        """In SI."""
        read = self.measured(name, dimension)
        return None if read is None else read.value

    def value(self, name: str, dimension: Dimension) -> float:
        """In SI, of an option that always has a value."""
        return self.read(self.options[name], name.replace("_", "-"), dimension).value
