"""What limits the machine, member by member, and what would open a shut window, as rows of a page."""

from dataclasses import dataclass

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
    """One limit that counts for its member, with its arithmetic."""

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
    """Every limit that counts for its member, the binding one first."""
    sources = {rule.id: rule.source for rule in job.job.rules}
    return [
        _row(bound, row.binds, sources, liking)
        for row in member_rows(job.result.window)
        for bound in (row.ceiling, row.floor)
        if bound is not None
    ]


def _row(bound: Bound, binds: bool, sources: dict[str, str], liking: Liking) -> LimitRow:
    ceiling = bound.side == "ceiling"
    return LimitRow(
        member=said(bound.member),
        shaft=said(bound.shaft),
        binds=binds and ceiling,
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
