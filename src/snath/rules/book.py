"""Define a rule: what must hold, for which machine, and by whose word."""

from dataclasses import dataclass
from typing import Literal

RuleKind = Literal[
    "surface speed",
    "shaft speed",
    "frequency",
    "droop",
    "steady band",
    "transient",
    "recovery time",
    "stopping time",
    "energy",
]
Standing = Literal["read", "second-hand", "memory", "trade", "shop"]


@dataclass(frozen=True, slots=True)
class Scope:
    """Where a rule applies; an empty tuple or None does not narrow.

    Attributes
    ----------
    machines, members, uses, products, markets : tuple of str
        Words of `rules.scope`. A market "US" holds in "US/California" too.
    made_from, made_to : int, str or None
        First and last year, or month as "1982-07".
    classes : tuple of str
        What a part is marked: "80 m/s", "G2"; a part without a mark is in none.
    sizes_from : tuple of (str, float)
        Sizes of the machine it must at least have. [SI]
    unless : tuple of (str, float)
        Sizes of a machine that it leaves out: one that reaches all of them. [SI]
    """

    machines: tuple[str, ...] = ()
    members: tuple[str, ...] = ()
    uses: tuple[str, ...] = ()
    markets: tuple[str, ...] = ()
    made_from: int | str | None = None
    made_to: int | str | None = None
    classes: tuple[str, ...] = ()
    products: tuple[str, ...] = ()
    sizes_from: tuple[tuple[str, float], ...] = ()
    unless: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True, slots=True)
class Rule:
    """One row of the book.

    Attributes
    ----------
    id : str
        Stable name, as typed after --rule.
    limits : str
        The limited quantity in plain words: "blade tip speed".
    kind : str
        Its physical kind; limits of different kinds are never shared.
    at_most, at_least : float or None
        In SI: [m/s], [rev/s], [Hz], [s], [J], or a fraction.
    printed : str
        The digits as the source prints them, with their unit.
    scope : Scope
        Machines, members, uses, markets and years it speaks of.
    edition, source : str
        Which text, and where in it.
    standing : str
        read, second-hand, memory, trade or shop. Changes words, never a verdict.
    in_force : bool
        False for a historical row: explains, can never give a pass.
    applies_to : str
        "sustained" or "peak".
    note : str
        What the reader must know besides.
    nominal : float or None
        A rated figure that is neither ceiling nor floor. [SI]
    explains : bool
        True for a row that informs and never binds: a rule of thumb, a rated figure.
    overrides : str
        Id of a shipped row that a shop's own row replaces; empty otherwise.
    """

    id: str
    limits: str
    kind: RuleKind
    printed: str
    at_most: float | None = None
    at_least: float | None = None
    scope: Scope = Scope()
    edition: str = ""
    source: str = ""
    standing: Standing = "memory"
    in_force: bool = True
    applies_to: Literal["sustained", "peak"] = "sustained"
    note: str = ""
    overrides: str = ""
    nominal: float | None = None
    explains: bool = False

    @property
    def binds(self) -> bool:
        """Whether a verdict may rest on it: in force, and more than an explanation."""
        return self.in_force and not self.explains
