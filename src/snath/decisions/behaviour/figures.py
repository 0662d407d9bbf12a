"""Hold a set against the figures of the generator classes, one at a time: never "is of the class"."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from snath.decisions.behaviour.steadiness import Changed, Steadiness, changes_of
from snath.decisions.behaviour.stretches import Stretch
from snath.formulas.signals.candidates import Track
from snath.quantities.measured import Measured
from snath.quantities.message import Amount, Message, term
from snath.rules.book import Rule

Met = Literal["meets", "misses", "cannot tell"]
COVERAGE = 1.96  # two-sided 95 %


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure measured, as a share of rated frequency or in seconds.

    Attributes
    ----------
    kind : str
        The rule's kind: "droop", "steady band", "transient", "recovery time".
    way : str
        "load on" or "load off" for what a change of load did, else empty.
    low, high : float
        Where the figure lies with 95 %. [1] or [s]
    at_full_load : bool
        Whether it was taken with full load on, or full load thrown on or off.
    conclusive : bool
        False where a figure over the limit proves nothing, because it was held against a narrower band.
    """

    kind: str
    way: str
    low: float
    high: float
    at_full_load: bool
    conclusive: bool = True


@dataclass(frozen=True, slots=True)
class FigureMet:
    """One row of a class held against what was measured.

    Attributes
    ----------
    rule, marked_class, limits : str
        The row, its class ("G2") and what it limits.
    word : str
        "meets", "misses" or "cannot tell".
    low, high, limit : float
        What was measured and what the row allows. [1] or [s]
    standing, source : str
        How the row is known.
    why : Message
        The load in it.
    """

    rule: str
    marked_class: str
    limits: str
    word: Met
    low: float
    high: float
    limit: float
    standing: str
    source: str
    why: Message


@dataclass(frozen=True, slots=True)
class TakenAt:
    """Under what load, and against what rated speed, figures were taken.

    Attributes
    ----------
    load_w, rated_w : float or None
        Load put on, and rated output; None not stated. [W]
    rated : float
        Rated speed. [rev/s]
    """

    load_w: float | None
    rated_w: float | None
    rated: float

    @property
    def full(self) -> bool:
        """Whether full load was put on; what was not stated was not."""
        return self.load_w is not None and self.rated_w is not None and self.load_w >= self.rated_w

    @property
    def load(self) -> Message:
        """The load, as the sentence of a figure ends."""
        if self.load_w is None:
            return Message("figure.load-not-stated")
        return Message("figure.at-load", load=Amount(self.load_w, "power"))


def figures_met(
    rules: tuple[Rule, ...],
    taken: TakenAt,
    *,
    droop: Measured | None,
    steady: tuple[Steadiness, ...],
    changes: tuple[Changed, ...],
    track: Track | None,
    cuts: tuple[Stretch, ...],
) -> Iterator[FigureMet]:
    """Each figure of each class by itself, for an alternator whose frequency is tied to its speed."""
    rows, load = class_rows(rules), taken.load
    if droop is not None:
        yield from held_against(rows, Figure("droop", "", *spread(droop), taken.full), load=load)
    for one in steady:
        low, high = one.band.least_width / taken.rated, one.band.width / taken.rated
        under = Message("figure.at-no-load") if one.load == "no load" else load
        yield from held_against(rows, Figure("steady band", "", low, high, True), load=under)
    for change in changes:
        size = abs(change.deviation)
        yield from held_against(rows, Figure("transient", change.kind, size, size, taken.full), load=load)
    if track is not None and changes:
        yield from _recoveries(rows, taken, track, cuts, load)


def _recoveries(
    rows: tuple[Rule, ...], taken: TakenAt, track: Track, cuts: tuple[Stretch, ...], load: Message
) -> Iterator[FigureMet]:
    """Recovery into each class's own steady band, the standard's wider one not having been read."""
    for band in rows:
        if band.kind != "steady band" or band.at_most is None:
            continue
        own = tuple(row for row in rows if row.scope.classes == band.scope.classes)
        for change in changes_of(track, cuts, rated=taken.rated, band=band.at_most):
            time = change.response.recovery
            figure = Figure("recovery time", change.kind, time, time, taken.full, conclusive=False)
            yield from held_against(own, figure, load=load)


def spread(measured: Measured) -> tuple[float, float]:
    """The 95 % interval of a measured value."""
    return measured.value - COVERAGE * measured.u, measured.value + COVERAGE * measured.u


def class_rows(rules: tuple[Rule, ...]) -> tuple[Rule, ...]:
    """Rows for classes of generating sets."""
    return tuple(rule for rule in rules if "alternator" in rule.scope.members and rule.scope.classes)


def held_against(rows: tuple[Rule, ...], figure: Figure, *, load: Message) -> Iterator[FigureMet]:
    """Every row about this figure, met or not; `load` says under what load it was taken."""
    for rule in rows:
        if rule.kind != figure.kind or rule.at_most is None or not _same_way(rule, figure):
            continue
        word = _word(figure, rule.at_most)
        marked = rule.scope.classes[0]
        yield FigureMet(
            rule=rule.id,
            marked_class=marked,
            limits=rule.limits,
            word=word,
            low=figure.low,
            high=figure.high,
            limit=rule.at_most,
            standing=rule.standing,
            source=rule.source,
            why=_why(word, marked, figure, load),
        )


def _same_way(rule: Rule, figure: Figure) -> bool:
    """Rise and dip have rows of one kind; which is which stands in the row's words."""
    if not figure.way or rule.kind != "transient":
        return True
    return ("rise" in rule.limits) == (figure.way == "load off")


def _word(figure: Figure, limit: float) -> Met:
    if figure.low > limit:
        return "misses" if figure.conclusive else "cannot tell"
    return "meets" if figure.high <= limit and figure.at_full_load else "cannot tell"


def _why(word: Met, marked: str, figure: Figure, load: Message) -> Message:
    about = term("figure-kind", figure.way or figure.kind)
    if word == "meets":
        return Message("figure.meets", marked=marked, about=about, load=load)
    if word == "misses":
        return Message("figure.misses", marked=marked, about=about, load=load)
    if not figure.at_full_load:
        return Message("figure.full-load-not-shown", marked=marked, about=about, load=load)
    if not figure.conclusive:
        return Message("figure.narrower-band", marked=marked, about=about, load=load)
    return Message("figure.too-close", marked=marked, about=about, load=load)
