"""What each member allows, gathered from the bounds: one row a member, the tightest first."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf

from snath.decisions.window.limits import ENGINE
from snath.decisions.window.window import Bound, Window


@dataclass(frozen=True, slots=True)
class MemberRow:
    """One member's own limits at the crankshaft.

    Attributes
    ----------
    member, shaft : str
        Which member, where.
    ceilings, floors : tuple of Bound
        Its limits in all alternatives, the one that counts first.
    binds : bool
        Whether it is the one that limits the window.
    """

    member: str
    shaft: str
    ceilings: tuple[Bound, ...]
    floors: tuple[Bound, ...]
    binds: bool

    @property
    def ceiling(self) -> Bound | None:
        """The ceiling that counts."""
        return self.ceilings[0] if self.ceilings else None

    @property
    def floor(self) -> Bound | None:
        """The floor that counts."""
        return self.floors[0] if self.floors else None

    @property
    def floor_is_loaded(self) -> bool:
        """Floors are carried back for the loaded machine, save the engine's own lowest speed."""
        return self.member != ENGINE

    @property
    def kindest(self) -> Bound | None:
        """The highest ceiling of the same rule in another alternative, where it differs."""
        if not self.ceilings:
            return None
        worst = self.ceilings[0]
        same = [b for b in self.ceilings if b.rule == worst.rule]
        best = max(same, key=lambda b: b.engine.value)
        return best if best.engine.value > worst.engine.value * (1 + 1e-9) else None


def member_rows(window: Window) -> list[MemberRow]:
    """One row a member: the one that binds, then by ceiling, members with a floor only at the bottom.

    Limits on a short peak do not bind the governed speed and have no bar here.
    """
    members: dict[tuple[str, str], list[Bound]] = {}
    for bound in window.bounds:
        if bound.applies_to == "sustained":
            members.setdefault((bound.member, bound.shaft), []).append(bound)
    rows = [
        MemberRow(
            member,
            shaft,
            _counting_first(bounds, "ceiling"),
            _counting_first(bounds, "floor"),
            member == window.binding,
        )
        for (member, shaft), bounds in members.items()
    ]
    return sorted(rows, key=lambda row: (not row.binds, _height(row.ceiling)))


def _counting_first(bounds: Sequence[Bound], side: str) -> tuple[Bound, ...]:
    sign = 1 if side == "ceiling" else -1
    mine = [b for b in bounds if b.side == side]
    return tuple(sorted(mine, key=lambda b: sign * b.engine.value))


def _height(bound: Bound | None) -> float:
    return bound.engine.value if bound else inf
