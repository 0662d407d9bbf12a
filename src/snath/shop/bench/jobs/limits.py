"""What limits the machine, member by member, and what would open a shut window, as rows of a page."""

from collections.abc import Sequence
from dataclasses import dataclass

from snath.decisions.window.fold import folded
from snath.decisions.window.window import Bound, Remedy, Window
from snath.quantities.units import Rounding
from snath.shop.bench import show
from snath.shop.bench.jobs.kept import OpenJob
from snath.shop.bench.liking import Liking
from snath.shop.bench.rulebook import standing_words
from snath.shop.bench.words import said
from snath.shop.pictures.members import member_rows


@dataclass(frozen=True, slots=True)
class LimitRow:
    """One limit that counts for its members, with its arithmetic."""

    member: str
    shaft: str
    binds: bool
    side: str
    limit: str
    engine: show.Shown | None
    alternative: str
    source: str
    standing: str
    working: list[str]


def limit_rows(job: OpenJob, liking: Liking) -> list[LimitRow]:
    """Every limit that counts for its member, the binding one first, equal ones in one row."""
    window, sources = job.result.window, {rule.id: rule.source for rule in job.job.rules}
    counting = [
        bound for row in member_rows(window) for bound in (row.ceiling, row.floor) if bound is not None
    ]
    return [_row(row, window.binding, sources, liking) for row in folded(counting)]


def _row(row: Sequence[Bound], binding: str, sources: dict[str, str], liking: Liking) -> LimitRow:
    bound, ceiling = row[0], row[0].side == "ceiling"
    return LimitRow(
        member=", ".join(dict.fromkeys(said(one.member) for one in row)),
        shaft=", ".join(dict.fromkeys(said(one.shaft) for one in row)),
        binds=ceiling and any(one.member == binding for one in row),
        side=bound.side,
        limit=limit_words(bound.limit, bound.kind, liking, ceiling=ceiling),
        engine=show.speed(bound.engine.value, liking, round="down" if ceiling else "up"),
        alternative=said(bound.alternative, liking) if bound.alternative else "",
        source=sources.get(bound.rule, said(bound.rule)),
        standing=standing_words(bound.standing) if bound.rule in sources else "",
        working=[said(line, liking.decimal_mark) for line in bound.working],
    )


def limit_words(value: float, kind: str, liking: Liking, *, ceiling: bool = True) -> str:
    """A limit in the units of its kind."""
    if kind == "surface speed":
        return show.surface(value, liking)
    if kind == "frequency":
        return show.in_words(value, "Hz", liking)
    return str(show.speed(value, liking, round="down" if ceiling else "up"))


def in_a_table(value: float, kind: str, liking: Liking, round: Rounding = "nearest") -> str:
    """The same in one unit only, for a narrow column."""
    if kind == "surface speed":
        return show.surface_alone(value, liking)
    return (
        show.in_words(value, "Hz", liking)
        if kind == "frequency"
        else str(show.speed(value, liking, round=round))
    )


@dataclass(frozen=True, slots=True)
class RemedyRow:
    """One change that would open the window, and what the window then is."""

    change: str
    ceiling: show.Shown | None
    floor: show.Shown | None
    approval: bool


def remedy_rows(window: Window, liking: Liking) -> list[RemedyRow]:
    """Every remedy the core found and ran again."""
    return [_remedy(remedy, liking) for remedy in window.remedies]


def _remedy(remedy: Remedy, liking: Liking) -> RemedyRow:
    return RemedyRow(
        change=said(remedy.change, liking.decimal_mark),
        ceiling=show.speed(remedy.ceiling, liking, round="down"),
        floor=show.speed(remedy.floor, liking, round="up"),
        approval=remedy.approval,
    )
