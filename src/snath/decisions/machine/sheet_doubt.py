"""Give every measured length of a sheet its doubt, and keep a list of what the sheet left unsaid."""

from snath.decisions.machine.parts import Taken, TakenSize
from snath.decisions.machine.sheet_fields import INCH, has_tolerance, named
from snath.quantities.measured import Line, Measured
from snath.quantities.message import Message
from snath.quantities.units import Quantity

# What a tape or rule is read to in a shop, to each side (common practice, no source).
TAPE_INCH, TAPE_METRIC = INCH / 16, 0.001


class Unsaid:
    """Collects what was taken for granted while a machine is built from its sheet."""

    def __init__(self) -> None:
        self.taken: list[Taken] = []

    def take(self, one: Taken) -> None:
        """Note it once, however often it is asked for."""
        if one not in self.taken:
            self.taken.append(one)

    def length(self, found: Quantity, path: str, name: str, size: TakenSize, *, page: str = "") -> Measured:
        """A length with the ± written behind it; without one the tape's, unless it is from a maker's page."""
        measured = named(found, path)
        if page or has_tolerance(found):
            return measured
        half = TAPE_INCH if found.unit in ("in", "ft") else TAPE_METRIC
        self.take(Taken("plus-or-minus", name, size, half))
        source = Message("budget.as-measured", field=path)
        return Measured(measured.value, (Line(source, half / 3**0.5, None, "rectangular"),))
