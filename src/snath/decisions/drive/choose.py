"""Choose drives: original parts first, then what no other drive beats, else what comes nearest."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from snath.decisions.drive.ask import problem_for
from snath.decisions.drive.confirm import Drive, confirmed, is_original
from snath.decisions.drive.frame import Frame
from snath.decisions.drive.near_misses import NearMiss, near_misses
from snath.decisions.drive.positions import Position
from snath.decisions.drive.problem import Candidate, Problem
from snath.decisions.drive.search import MOST, GoOn, always, search
from snath.decisions.drive.stock import Stock
from snath.decisions.job.job import Job
from snath.quantities.message import Message

SURE = 10  # drives run through `work` however late it is
ALIKE = 0.001  # m; nearer than this two sheaves are of one size


@dataclass(frozen=True, slots=True)
class Choices:
    """What can be built.

    Attributes
    ----------
    problem : Problem
        The question that was answered.
    drives : tuple of Drive
        Original parts first, then fewest parts changed.
    misses : tuple of NearMiss
        Only where there are no drives.
    to_order : tuple of Message
        Maker's part numbers on the sheet that stock does not hold: to be ordered before anything else is tried.
    looked_at : int
    exhaustive : bool
    dropped : int
        Drives the search found and `work` did not allow; more than none is a fault of ours, and said.
    """

    problem: Problem
    drives: tuple[Drive, ...]
    misses: tuple[NearMiss, ...]
    to_order: tuple[Message, ...]
    looked_at: int
    exhaustive: bool
    dropped: int


def choose(job: Job, frame: Frame, stock: Stock, *, most: int = MOST, go_on: GoOn = always) -> Choices:
    """Drives for one belt of a machine, each run through `work`.

    `go_on` is asked while it works; once it says no, the answer is what was found so far, not exhaustive.
    """
    problem = problem_for(job, frame, stock)
    own = search(_originals(problem), most=most, go_on=go_on)
    found = search(problem, most=most, go_on=go_on)
    wanted = _first(own.candidates, is_original)
    shown = (*wanted, *(c for c in found.candidates if not _same(c, wanted)))
    drives: list[Drive | None] = []
    for candidate in shown:
        if len(drives) >= SURE and not go_on():
            break
        drives.append(confirmed(job, problem, candidate, frame.fit))
    good = [d for d in drives if d is not None]
    good.sort(key=lambda d: not d.original)
    near = () if good else near_misses(problem, go_on=go_on)
    exhaustive = found.exhaustive and own.exhaustive and go_on()
    dropped = len(drives) - len(good)
    order = tuple(_to_order(problem))
    return Choices(problem, tuple(good), near, order, found.looked_at, exhaustive, dropped)


def pieces(candidate: Candidate) -> tuple[str, ...]:
    """Stock numbers of a drive, place by place in the order of the belt, the belt last; empty for what stays."""
    return (*(c.number for c in candidate.choices), candidate.belt.number)


def _originals(problem: Problem) -> Problem:
    """The same question with the maker's own parts wherever stock has them, else what is there."""

    def positions(position: Position) -> Position:
        now, *others = position.choices
        own = tuple(c for c in others if c.original)
        if any(abs(c.outside - now.outside) < ALIKE for c in own):
            own = ()  # the maker's part is on, or one of its size
        return replace(position, choices=own or (now,))

    on, *others = problem.belts
    own = tuple(b for b in others if b.original)
    if any(
        abs(b.belt.length - on.belt.length) < b.belt.tolerance and b.belt.line == on.belt.line for b in own
    ):
        own = ()
    belts = own or (on,)
    return replace(problem, positions=tuple(positions(p) for p in problem.positions), belts=belts)


def _first(candidates: tuple[Candidate, ...], good: Callable[[Candidate], bool]) -> tuple[Candidate, ...]:
    return tuple(c for c in candidates if good(c))[:1]


def _same(candidate: Candidate, others: tuple[Candidate, ...]) -> bool:
    """Whether these are the very pieces of one of the others."""
    return any(pieces(candidate) == pieces(other) for other in others)


def _to_order(problem: Problem) -> Iterator[Message]:
    """Maker's numbers that the shelf does not hold."""
    for position in problem.positions:
        now = position.choices[0]
        if now.part and not position.stays and not any(c.original for c in position.choices):
            yield Message("drive.part-for", part=now.part, name=position.name)
    on = problem.belts[0].belt
    if on.part and not any(b.original for b in problem.belts):
        yield Message("drive.part-belt", part=on.part)
