"""Say what moved in a kept job: each change once, by the name of its figure and in its unit."""

import re
from collections.abc import Iterable, Iterator
from typing import Any

from snath.decisions.job.rework import Difference
from snath.quantities.message import Amount, Message, Value, from_plain, term

SPEEDS = ("ceiling", "floor", "target", "set_low", "set_high", "pass_below", "fail_above")  # rev/s
WORDS = {
    "word": "verdict-word",
    "limits": "limits-word",
    "maker": "maker-word",
    "work": "work-word",
    "setting": "terminal-setting",
}
IDS = ("binding", "binding_rule")
NAMED = (*SPEEDS, *WORDS, *IDS)
SAID = ("reasons", "settle", "notes", "blocked_by")
FOLLOWS = ("green", "left_set", "do_not_use", "outside_figure", "by")  # from the words beside them
STAGED = re.compile(r"as_(found|left)\.(?:stands|verdicts\[\d+\]|window)\.(\w+)$")
WHOLE = re.compile(r"(?:stands|window|notes)(?:\.(\w+))?$")


def moved(rows: Iterable[Difference]) -> Iterator[Message]:
    """The differences of a rework, as messages.

    What stands in several places of a result is told once; what follows from a word beside it, and what is only known
    by its place, is left to `--json` or told by that place.
    """
    told: dict[Message, set[str]] = {}
    for path, then, now in rows:
        staged, whole = STAGED.match(path), WHOLE.match(path)
        stage = f"as {staged[1]}" if staged else ""
        leaf = staged[2] if staged else (whole[1] or path) if whole else ""
        for change in () if leaf in FOLLOWS else _changes(path, leaf, then, now):
            stages = told.setdefault(change, set())
            if stage in stages or (stages and not stage):
                continue
            stages.add(stage)
            yield Message("moved.at", stage=term("stage", stage), change=change) if stage else change


def _changes(path: str, leaf: str, then: Any, now: Any) -> Iterator[Message]:
    if leaf in SAID and isinstance(then, list) and isinstance(now, list):
        yield from (Message("moved.no-longer", what=_said(one)) for one in then if one not in now)
        yield from (Message("moved.now", what=_said(one)) for one in now if one not in then)
    elif leaf in NAMED:
        yield Message(
            "moved.figure", what=term("moved-figure", leaf), then=_value(leaf, then), now=_value(leaf, now)
        )
    else:
        yield Message("moved.figure", what=path, then=_briefly(then), now=_briefly(now))


def _said(one: Any) -> Value:
    """A reason as kept: by code, or as text in jobs of the first schema."""
    return one if isinstance(one, str) else from_plain(one)


def _value(leaf: str, value: Any) -> Value:
    if value in (None, ""):
        return Message("terminal.not-known")
    if leaf in SPEEDS:
        return Message("moved.speed", speed=Amount(value, "rotation"))
    return term(WORDS[leaf], value) if leaf in WORDS else value


def _briefly(value: Any) -> Value:
    """A figure or word as it is; what holds many of them by their number, for `--json` has it in full."""
    if isinstance(value, list | dict):
        return Message("moved.entries", count=len(value))
    return "null" if value is None else str(value)
