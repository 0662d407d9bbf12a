"""What limits the machine, member by member, and what would open a shut window, as rows of a page."""

from collections.abc import Mapping
from dataclasses import dataclass

from snath.decisions.window.fold import folded, names
from snath.decisions.window.window import Bound, Remedy, Window
from snath.quantities.units import Rounding
from snath.rules.book import Rule
from snath.shop.bench import show
from snath.shop.bench.jobs.kept import OpenJob
from snath.shop.bench.preferences import Preferences
from snath.shop.bench.rulebook import standing_words
from snath.shop.bench.words import said


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


def limit_rows(job: OpenJob, preferences: Preferences) -> list[LimitRow]:
    """Every limit that counts, equal ones as one row, the binding one first."""
    window, sources = job.result.window, {rule.id: rule for rule in job.job.rules}
    binding = (window.binding, window.binding_rule, "ceiling")
    rows = [
        _row(row, any((b.member, b.rule, b.side) == binding for b in row), sources, preferences)
        for row in folded(window.bounds)
    ]
    return sorted(rows, key=lambda row: not row.binds)


def _row(
    bounds: tuple[Bound, ...], binds: bool, rules: Mapping[str, Rule], preferences: Preferences
) -> LimitRow:
    first, ceiling = bounds[0], bounds[0].side == "ceiling"
    return LimitRow(
        member=names(bounds, lambda b: said(b.member)),
        shaft=names(bounds, lambda b: said(b.shaft)),
        binds=binds,
        side=first.side,
        limit=limit_words(first.limit, first.kind, preferences, ceiling=ceiling),
        engine=show.speed(first.engine.value, preferences, round="down" if ceiling else "up"),
        alternative=said(first.alternative, preferences) if first.alternative else "",
        source=names(bounds, lambda b: said(rules[b.rule].source) if b.rule in rules else said(b.rule)),
        standing=" ".join(dict.fromkeys(standing_words(b.standing) for b in bounds if b.rule in rules)),
        working=[said(line, preferences) for line in first.working],
    )


def limit_words(value: float, kind: str, preferences: Preferences, *, ceiling: bool = True) -> str:
    """A limit in the units of its kind."""
    if kind == "surface speed":
        return show.surface(value, preferences)
    if kind == "frequency":
        return show.in_words(value, "Hz", preferences)
    return str(show.speed(value, preferences, round="down" if ceiling else "up"))


def in_a_table(value: float, kind: str, preferences: Preferences, round: Rounding = "nearest") -> str:
    """The same in one unit only, for a narrow column."""
    if kind == "surface speed":
        return show.surface_alone(value, preferences)
    return (
        show.in_words(value, "Hz", preferences)
        if kind == "frequency"
        else str(show.speed(value, preferences, round=round))
    )


@dataclass(frozen=True, slots=True)
class RemedyRow:
    """One change that would open the window, and what the window then is."""

    change: str
    ceiling: show.Shown | None
    floor: show.Shown | None
    approval: bool


def remedy_rows(window: Window, preferences: Preferences) -> list[RemedyRow]:
    """Every remedy the core found and ran again."""
    return [_remedy(remedy, preferences) for remedy in window.remedies]


def _remedy(remedy: Remedy, preferences: Preferences) -> RemedyRow:
    return RemedyRow(
        change=said(remedy.change, preferences),
        ceiling=show.speed(remedy.ceiling, preferences, round="down"),
        floor=show.speed(remedy.floor, preferences, round="up"),
        approval=remedy.approval,
    )
