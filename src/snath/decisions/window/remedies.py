"""Find the single change that would open a shut window, or let the maker's figure in.

Every change is found on the machine itself, by changing one thing and solving again, and is kept only if the
caller's own run of the whole job confirms it. No remedy softens a rule.
"""

import math
from collections.abc import Callable, Iterator

from snath.decisions.machine.parts import CRANKSHAFT, Machine
from snath.decisions.window.changes import Change, changes
from snath.decisions.window.explain import remedy_words
from snath.decisions.window.window import Remedy, Window

Rerun = Callable[[Machine], Window]

SMALLEST, LARGEST = 0.25, 4.0  # how far a part may grow or shrink in the search, as a factor
STEPS = 64
HALVINGS = 24
# of the present one; a shorter blade no longer cuts what its deck is made for (common practice)
LEAST_BLADE = 0.9


def remedies(machine: Machine, window: Window, *, solve: Rerun, confirm: Rerun) -> tuple[Remedy, ...]:
    """Every single change that opens the window, mildest of its kind, confirmed before it is listed.

    Without a ceiling there is nothing to open.
    """
    if window.ceiling is None or opens(machine, window):
        return ()
    found = list(_speed_remedy(machine, window))
    for change in changes(machine, window):
        factor = _mildest(change, solve)
        if factor is None:
            continue
        exactly = change.size * factor
        size = change.rounded(exactly)
        if change.kind == "blade" and size < LEAST_BLADE * change.size:
            continue
        changed = change.made(size / change.size)
        after = confirm(changed)
        if opens(changed, after):
            found.append(
                Remedy(
                    change=remedy_words(change.kind, change.shaft, size, change.direction, exactly),
                    kind=change.kind,
                    shaft=change.shaft,
                    value=size,
                    exactly=exactly,
                    ceiling=after.ceiling,
                    floor=after.floor,
                )
            )
    return tuple(found)


def opens(machine: Machine, window: Window) -> bool:
    """Whether the window is open and the maker's figure, where there is one, lies inside it."""
    if not window.feasible or window.ceiling is None:
        return False
    figure = machine.engine.maker_no_load
    floor = window.floor if window.floor is not None else 0.0
    return figure is None or floor <= figure.rev_s <= window.ceiling


def _speed_remedy(machine: Machine, window: Window) -> Iterator[Remedy]:
    """Another engine speed will do where the window is open but does not hold the maker's figure."""
    figure = machine.engine.maker_no_load
    if not window.feasible or figure is None or machine.engine.governor == "none":
        return
    value = window.pass_below if figure.rev_s > (window.ceiling or 0.0) else window.floor
    if value is not None:
        direction = -1 if value == window.pass_below else +1
        words = remedy_words("engine speed", CRANKSHAFT, value, direction, None)
        yield Remedy(words, "engine speed", CRANKSHAFT, value, window.ceiling, window.floor)


def _mildest(change: Change, solve: Rerun) -> float | None:
    """The factor nearest to 1, in the change's direction, at which the window opens."""

    def works(factor: float) -> bool:
        changed = change.made(factor)
        return opens(changed, solve(changed))

    far = LARGEST if change.direction > 0 else SMALLEST
    shut = 1.0
    for step in range(1, STEPS + 1):
        factor = math.pow(far, step / STEPS)
        if works(factor):
            break
        shut = factor
    else:
        return None
    for _ in range(HALVINGS):
        middle = math.sqrt(shut * factor)
        shut, factor = (shut, middle) if works(middle) else (middle, factor)
    return factor
