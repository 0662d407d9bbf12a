"""Find the course of speed along which a stretch of sound speaks for an engine, and where it runs down."""

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from scipy.fft import irfft, next_fast_len, rfft

from snath.formulas.signals.comb import Pattern, firing_pattern
from snath.formulas.signals.sound_blade import TONES
from snath.formulas.signals.sound_course import Heard, examined
from snath.formulas.signals.sound_even import slope_of
from snath.formulas.signals.sound_follow import TooShortError
from snath.formulas.signals.sound_glide import RUNS, SLOWEST
from snath.formulas.signals.sound_hum import mains_heard, without_hum
from snath.formulas.signals.sound_mend import mended
from snath.formulas.signals.sound_plan import Plan
from snath.formulas.signals.sound_release import released_at
from snath.formulas.signals.sound_rundown import SOON, Before, fallen
from snath.formulas.signals.sound_running import HELD_FRAMES, HELD_SLOPES, fires_on, running
from snath.formulas.signals.sound_search import Search, search
from snath.formulas.signals.spectra import below

RUNS_ON = (
    2.0  # what must say more for an engine that runs on than for a fall and for silence to believe it [nat]
)
STILL_THERE = 0.45  # share of the comb's power in its least explained stretch that no silence leaves

Span = tuple[int, int, float | None]


@dataclass(frozen=True, slots=True)
class Course:
    """A course of speed, the frames in which the engine runs and its release, and what the sound says along it."""

    found: Search
    span: Span
    heard: Heard

    @property
    def best(self) -> float:
        """The likeliest multiple of it. [1]"""
        held = self.heard.evidence
        return max(held, key=lambda factor: held[factor], default=1.0)


def listen(x: Any, rate: float, plan: Plan) -> Heard:
    """Search, follow and judge up to half a minute; once more where a multiple of the track fits better.

    Parameters
    ----------
    x : ndarray, shape (n,)
        Sound at the working rate. [any]
    rate : float
        Its rate. [1/s]
    plan : Plan
        What to listen for.

    Returns
    -------
    Heard
        What it says.
    """
    pattern = firing_pattern(cycle_turns=plan.turns, firings=plan.firings)
    spacing = float(np.min(np.diff((0.0, *pattern.orders))))
    top = float(np.clip(7 * spacing * plan.high, 1150, min(3000, 0.42 * rate)))
    size = next_fast_len(len(x), real=True)
    all_of_it = rfft(x, size)
    mains = mains_heard(all_of_it, rate / size)
    spectrum, taken = without_hum(all_of_it, rate / size)
    quiet = below(spectrum, size, rate, top)[: len(x)]
    found = search(
        quiet,
        rate,
        top=top,
        low=plan.low,
        high=plan.high,
        pattern=pattern,
        spacing=spacing,
        driven=plan.driven,
    )
    fine = x if taken is None else irfft(spectrum, size).astype(np.float32, copy=False)[: len(x)]

    def along(path: Search, span: Span | None = None) -> Course:
        frames = span or running(path)
        mend = mended(path, frames[0], frames[1])
        course = Course(mend, frames, examined(fine, rate, plan, mend, frames, mains))
        if span or frames == (0, len(path.t), None):
            return course
        whole = along(path, (0, len(path.t), None))
        return whole if whole.heard.least > STILL_THERE else course

    def again(path: Search, span: Span) -> Course | None:
        """The course, or None where too little of the sound lies along it: no reason to give up the one there is."""
        try:
            return along(path, span)
        except TooShortError:
            return None

    course = along(found)
    if course.best != 1.0:
        course = again(course.found.times(course.best), course.span) or course
    if course.heard.released is None:
        return course.heard
    after = again(course.found, (course.span[1], len(course.found.t), None))
    runs_on = after is not None and _holds(after.heard, RUNS * plan.low)
    fallen = None if runs_on else _with_fall(course, quiet, rate, top, plan, pattern)
    if fallen is not None:
        return fallen
    whole = again(course.found, (0, len(course.found.t), None))
    return replace(course.heard, released=None) if whole is None else whole.heard


def _holds(heard: Heard, least: float) -> bool:
    """Whether a comb was followed throughout and at last held a speed of so much, as no coasting shaft does."""
    late = heard.t > (heard.start + heard.end) / 2
    t, speed = heard.t[late], heard.speed[late]
    if heard.lost or heard.least < STILL_THERE or len(t) <= HELD_FRAMES // 2:
        return False
    return float(speed.min()) > least and abs(slope_of(t, speed)) < max(HELD_SLOPES) * float(speed.mean())


def _with_fall(course: Course, quiet: Any, rate: Any, top: Any, plan: Plan, pattern: Pattern) -> Heard | None:
    """What was heard with the run-down, where it can be told; None where the engine was only throttled and runs on."""
    heard = course.heard
    after = heard.t > heard.end
    if heard.released is None or after.sum() < 4:
        return heard
    ratio = heard.ratio.get(1.0)
    blades = tuple(
        replace(part, ratio_low=ratio[0], ratio_high=ratio[0]) if ratio and part in plan.driven else part
        for part in (*plan.driven, *plan.direct)
    )
    ran = ~after & (heard.t >= heard.start)
    blade_lines = [
        round(part.ratio_low * plan.turns * part.tips * tone) for part in plan.direct for tone in TONES
    ]
    pace = heard.speed[ran] / plan.turns
    exact = released_at(
        quiet, rate, heard.t[ran], pace, heard.released, firings=len(plan.firings), blade_lines=blade_lines
    )
    released, u_released = (heard.released, None) if exact is None else (exact.moment, exact.u)
    heard = replace(heard, released=released)
    before = Before(heard.t[ran], heard.speed[ran], released, u_released)
    if before.last <= SLOWEST:
        return heard
    fall = fallen(quiet, rate, heard.t[after], before, top=top, plan=plan, pattern=pattern, blades=blades)
    held = course.found.own is not None and fires_on(course.found.own[course.span[1] + 2 :])
    if held and fall.runs_on > RUNS_ON:
        return None
    told = fall.told & ((heard.t[after] < released + SOON) | (not held))  # no rest where a comb holds a speed
    speed, u, audible = heard.speed.copy(), heard.u.copy(), heard.audible.copy()
    speed[after], u[after], audible[after] = fall.speed, fall.u, told
    return replace(heard, speed=speed, u=u, audible=audible)
