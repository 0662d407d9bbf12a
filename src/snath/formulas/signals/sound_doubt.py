"""Where little speaks for the best path of speed, what do other courses through the same sound say?

A course along a loud blade, a third of the speed or a smooth swing may be followed where the engine's own
was not, and shows the engine as one of its multiples (docs/sound.md, section 3).
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from snath.formulas.signals.sound_course import Heard
from snath.formulas.signals.sound_follow import TooShortError
from snath.formulas.signals.sound_others import other_courses
from snath.formulas.signals.sound_search import Search
from snath.formulas.signals.sound_starts import smoother
from snath.formulas.signals.sound_swing import swinging

PLENTY = 800.0  # what a comb along a course explains that no chance does [nat]
WEAK = 30.0  # evidence under which other courses are tried too [nat]
OTHERS = 3  # how many
CLEARER = 5.0  # evidence that another course must bring more [nat]
WORTHIER, BY_SHARE = 100.0, 0.25  # what a comb along another course must explain more [nat], [1]
SAME = 0.02  # courses nearer each other than this share are of the same speed

Span = tuple[int, int, float | None]


@dataclass(frozen=True, slots=True)
class Course:
    """A course of speed, the frames in which the engine runs and its release, and what the sound says along it."""

    found: Search
    span: Span
    heard: Heard

    @property
    def best(self) -> tuple[float, float]:
        """The likeliest multiple of it and the evidence of that. [1], [nat]"""
        held = self.heard.evidence
        top = max(held, key=lambda factor: held[factor], default=1.0)
        return top, held.get(top, 0.0)

    @property
    def clear(self) -> bool:
        """Whether its likeliest multiple stands out, or it explains so much that no other course would."""
        return self.best[1] >= WEAK or (self.heard.worth >= PLENTY and not self.heard.lost)


Along = Callable[[Search, Span | None], Course]


def reconsidered(first: Course, along: Along, low: float) -> Course:
    """The course that explains the sound best, where the first one leaves doubt.

    Parameters
    ----------
    first : Course
        Along the best path.
    along : callable
        From a search, and the frames in which the engine runs if they are known, to a course.
    low : float
        Slowest speed searched. [rev/s]

    Returns
    -------
    Course
        The first where nothing speaks more clearly.
    """
    chosen = _anew(first, along, low)
    if chosen.clear:
        return chosen
    path = chosen
    for other in other_courses(first.found, low, OTHERS):
        view = followed(along, other, None)
        if view is None:
            continue
        factor, evidence = view.best
        if not view.heard.lost and evidence > max(chosen.best[1] + CLEARER, CLEARER):
            chosen = _seen_from(view, factor, chosen, along)
    return chosen if chosen is path else _anew(chosen, along, low)


def _anew(course: Course, along: Along, low: float) -> Course:
    """The course followed from smoother beginnings and from a swing, as long as little speaks for it."""
    chosen, whole = course, (0, len(course.found.t), None)
    if chosen.clear:
        return chosen
    for start in smoother(course.found):
        if chosen.clear:
            return chosen
        chosen = _worthier(followed(along, start, course.span), chosen)
    for start in (course.found, swinging(course.found, low)):
        if chosen.clear:
            return chosen
        chosen = _worthier(followed(along, start, whole), chosen)
    return chosen


def followed(along: Along, search: Search, span: Span | None) -> Course | None:
    """The course, or None where too little of the sound lies along it: no reason to give up the one there is."""
    try:
        return along(search, span)
    except TooShortError:
        return None


def _worthier(tried: Course | None, chosen: Course) -> Course:
    """The one of two courses of one speed whose comb explains more, with the clearer evidence of both."""
    if tried is None or not _explains_more(tried, chosen):
        return chosen
    held = max(chosen.heard.evidence, tried.heard.evidence, key=_most)
    return replace(tried, heard=replace(tried.heard, evidence=held))


def _explains_more(tried: Course, chosen: Course) -> bool:
    """Whether the comb along a course was not lost, and explains clearly more than another, or that one was."""
    if tried.heard.lost:
        return False
    if chosen.heard.lost and tried.heard.worth > chosen.heard.worth / (1 + BY_SHARE) + WORTHIER:
        return True
    return tried.heard.worth > (1 + BY_SHARE) * chosen.heard.worth + WORTHIER


def _seen_from(view: Course, factor: float, chosen: Course, along: Along) -> Course:
    """The engine's own course, with the evidence that another one gave for it."""
    own = view if factor == 1.0 else followed(along, view.found.times(factor), None)
    if own is None:
        return chosen
    apart = float(np.median(np.abs(own.heard.speed / chosen.heard.speed - 1)))
    if apart < SAME and not _explains_more(own, chosen):
        own = chosen
    if own.heard.worth < chosen.heard.worth / 2:
        return chosen
    if own.heard.lost:
        return own
    return replace(own, heard=replace(own.heard, evidence=_together(own.heard.evidence, view, factor)))


def _together(own: dict[float, float], view: Course, factor: float) -> dict[float, float]:
    """Evidence of multiples seen from another course; those only the own one shows stay as far below the likeliest."""
    seen = {round(multiple / factor, 9): value for multiple, value in view.heard.evidence.items()}
    raised = seen[1.0] - own.get(1.0, seen[1.0])
    if raised <= 0:
        return own
    return {multiple: value + raised for multiple, value in own.items()} | {
        next((known for known in own if abs(known / multiple - 1) < SAME / 10), multiple): value
        for multiple, value in seen.items()
    }


def _most(evidence: dict[float, float]) -> float:
    """Evidence of the likeliest multiple. [nat]"""
    return max(evidence.values(), default=0.0)
