"""Which stock counts for one kind of belt: pieces that are the same in everything that counts become one."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import groupby

from snath.decisions.drive.problem import BeltChoice, Choice, Problem
from snath.formulas.belts.sections import groove_of


@dataclass(frozen=True, slots=True)
class Kind:
    """Belts of one groove whose lengths are those of one line, with the choices that go with them.

    Attributes
    ----------
    section : str
        Groove.
    depth : float
        Of the line below the belt's top. [m]
    belts : tuple of BeltChoice
        The one that is on first, then by price and stock number.
    choices : tuple of tuple of Choice
        For each post; as it is first, then by size.
    """

    section: str
    depth: float
    belts: tuple[BeltChoice, ...]
    choices: tuple[tuple[Choice, ...], ...]


def kinds(problem: Problem) -> Iterator[Kind]:
    """Each kind of belt for which every post has something to run it on."""

    def kind(item: BeltChoice) -> tuple[str, float]:
        return groove_of(item.belt.section), round(item.belt.depth, 9)

    for (section, depth), group in groupby(sorted(problem.belts, key=kind), key=kind):
        belts = sorted(group, key=lambda b: (b.changed, b.price, b.rank))
        choices = tuple(
            folded(c for c in post.choices if c.section in ("", section)) for post in problem.posts
        )
        if all(choices):
            yield Kind(section, depth, tuple(belts), choices)


def folded(choices: Iterator[Choice]) -> tuple[Choice, ...]:
    """One choice of each size: what is there already, else the cheapest, else the lowest stock number.

    The others could only lose or tie; how many tie is kept.
    """

    def same(choice: Choice) -> tuple[float, float, bool]:
        return round(choice.outside, 7), round(choice.offset, 7), choice.cast

    def preference(choice: Choice) -> tuple[bool, float, int]:
        return choice.changed, choice.price, choice.rank

    found = []
    for _, group in groupby(sorted(choices, key=same), key=same):
        row = sorted(group, key=preference)
        best = row[0]
        alike = sum(preference(c)[:2] == preference(best)[:2] for c in row)
        found.append(replace(best, alike=alike))
    return tuple(sorted(found, key=lambda c: c.changed))
