"""List the kinds of part that a limit can speak of: one entry each, from which sheet, rules, window and form follow.

A further kind of a shape there is already is one entry here and its words; `tests/house/test_kinds.py` finds what else
it lacks. A new shape also needs its table on the sheet (`sheet_members.SHAPES`) and its boxes (`boxes_part.BOXES`).
"""

from dataclasses import dataclass
from typing import Literal

Shape = Literal["blade", "string head", "disc", "wheel", "alternator", "driven"]


@dataclass(frozen=True, slots=True)
class PartKind:
    """One kind of part.

    Attributes
    ----------
    name : str
        As rules and machines spell it.
    shape : str
        What can be said of it: which keys its table on the sheet has, and which boxes it has on the form.
    label : str
        What the form calls it.
    tips : bool
        Whether it has cutting tips: their speed is what a mower's rule limits, their stop is what is timed, and a
        clutch disengages them.
    """

    name: str
    shape: Shape
    label: str
    tips: bool = False

    @property
    def key(self) -> str:
        """Its table on a machine sheet."""
        return self.name.replace(" ", "_")


PART_KINDS = (
    PartKind("blade", "blade", "blade", tips=True),
    PartKind("string head", "string head", "string head", tips=True),
    PartKind("wheel", "wheel", "cut-off wheel"),
    PartKind("disc", "disc", "disc"),
    PartKind("alternator", "alternator", "alternator"),
    PartKind("pump", "driven", "pump"),
    PartKind("other", "driven", "another part with a highest speed"),
)
MEMBER_KINDS = tuple(kind.name for kind in PART_KINDS)
TIPPED = tuple(kind.name for kind in PART_KINDS if kind.tips)
