"""A class sheet: machines made up from one number, each worked out by the same core as any job."""

from dataclasses import dataclass
from random import Random
from typing import Any

from django.utils.translation import gettext

from snath.decisions.job.assemble import job_for
from snath.decisions.job.work import work
from snath.decisions.machine.sheet import read_sheet
from snath.decisions.machine.sheet_text import toml_text
from snath.decisions.window.window import Window
from snath.rules.book import Rule
from snath.shop.bench import show
from snath.shop.bench.preferences import Preferences
from snath.shop.bench.words import said

MOST = 20
DIRECT = ("18 in", "19 in", "20 in", "21 in", "21 3/4 in", "22 in")
BELTED = ("14 in", "16 in", "17 1/2 in", "18 in", "21 in")
PULLEYS = ("3 1/2 in", "4 in", "4 1/2 in", "5 in", "5 1/2 in", "6 in")
ENGINES = ("3,300 rpm", "3,450 rpm", "3,600 rpm")


@dataclass(frozen=True, slots=True)
class Problem:
    """One question of a class sheet with its answer and the way there."""

    number: int
    given: list[str]
    asked: str
    answer: str
    working: list[str]


def problems(
    seed: int, count: int, book: tuple[Rule, ...], market: str, preferences: Preferences
) -> list[Problem]:
    """The same number gives the same sheet, for everybody and for ever."""
    dice = Random(seed)
    return [_problem(number, dice, book, market, preferences) for number in range(1, min(count, MOST) + 1)]


def _problem(
    number: int, dice: Random, book: tuple[Rule, ...], market: str, preferences: Preferences
) -> Problem:
    sheet = _belted(dice) if dice.random() < 0.6 else _direct(dice)
    machine = read_sheet(toml_text(sheet))
    window = work(job_for(machine, book, market=market)).window
    ceiling = show.speed(window.ceiling, preferences, round="down")
    return Problem(
        number=number,
        given=_given(machine, preferences),
        asked=gettext("How fast may the engine turn at most, nothing being cut? Which part limits it?"),
        answer=gettext("%(speed)s; %(part)s limits it.") % {"speed": ceiling, "part": said(window.binding)},
        working=_working(window, preferences),
    )


def _given(machine: Any, preferences: Preferences) -> list[str]:
    lines = [
        gettext("Engine: at most %(speed)s by its maker.")
        % {"speed": show.speed(machine.engine.rated_max, preferences)}
    ]
    for member in machine.members:
        lines.append(
            gettext("Blade on the %(shaft)s: %(length)s, corner to corner.")
            % {
                "shaft": said(member.shaft),
                "length": show.length_both(member.sizes[0].diameter.value, preferences),
            }
        )
    for coupling in machine.couplings:
        driver, driven = (show.length_both(part.size.value, preferences) for part in coupling.parts)
        lines.append(
            gettext(
                "Belt, section A, flush with both rims: "
                "pulley on the engine %(driver)s, on the blade %(driven)s, both outside."
            )
            % {"driver": driver, "driven": driven}
        )
    return lines


def _direct(dice: Random) -> dict[str, Any]:
    return _machine(dice, "crankshaft", dice.choice(DIRECT), [])


def _belted(dice: Random) -> dict[str, Any]:
    driver, driven = dice.sample(PULLEYS, 2)
    sizes = {"driver_outside": driver, "driven_outside": driven}
    belt = {"section": "A", **sizes, "driver_rides": "flush", "driven_rides": "flush"}
    return _machine(dice, "spindle", dice.choice(BELTED), [{"driven": "spindle", "belt": belt}])


def _machine(dice: Random, shaft: str, blade: str, couplings: list[Any]) -> dict[str, Any]:
    return {
        "name": "class sheet",
        "kind": "walk-behind rotary mower",
        "engine": {"rated_max": dice.choice(ENGINES)},
        "coupling": couplings,
        "member": [
            {"name": "blade", "shaft": shaft, "blade": {"length": blade, "measured": "corner to corner"}}
        ],
    }


def _working(window: Window, preferences: Preferences) -> list[str]:
    lines = []
    for bound in window.bounds:
        if bound.side == "ceiling" and bound.worst:
            lines += [said(line, preferences) for line in bound.working]
    return lines


def off_by(guess: float, true: float, preferences: Preferences) -> str:
    """How far a guess was off, signed."""
    difference = guess - true
    words = show.speed(abs(difference), preferences)
    return (
        gettext("%(much)s too high") % {"much": words}
        if difference > 0
        else gettext("%(much)s too low") % {"much": words}
    )
