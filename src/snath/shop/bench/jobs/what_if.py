"""Answer what a longer blade, a smaller pulley or a slower engine would do; nothing is kept."""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from django.utils.translation import gettext

from snath.decisions.job.job import Job, Stage
from snath.decisions.job.result import Result
from snath.decisions.job.work import work
from snath.decisions.machine.exchange import ends_on, exchanged
from snath.decisions.machine.parts import Coupling, Machine, Size
from snath.decisions.reading.usual import USUAL_TOP
from snath.decisions.window.window import Window
from snath.quantities.errors import InputError
from snath.quantities.measured import exact
from snath.quantities.units import Dimension, from_rpm, in_unit, parse, rpm
from snath.shop.answers.speeds import floor_rpm
from snath.shop.bench import show
from snath.shop.bench.preferences import Preferences
from snath.shop.bench.words import said

REACH = 0.25  # how far a handle moves either way, as a share of the size that is there
STEP = {"in": 1 / 16, "mm": 1.0, "rpm": 10.0}
ENGINE = "engine"
DIMENSION: Mapping[str, Dimension] = {"in": "length", "mm": "length", "rpm": "rotation"}


@dataclass(frozen=True, slots=True)
class Handle:
    """One slider: a size or speed in its own unit."""

    name: str
    label: str
    unit: str
    least: float
    most: float
    step: float
    value: float
    shown: str


@dataclass(frozen=True, slots=True)
class Trial:
    """A job that exists for one answer only, and the engine speed it is looked at with. [rev/s]"""

    job: Job
    result: Result
    engine: float
    changed: bool

    def figures(self, preferences: Preferences) -> dict[str, show.Shown | None]:
        """The two figures a change moves."""
        window = self.result.window
        return {
            "never_above": show.speed(window.ceiling, preferences, round="down"),
            "engine": show.speed(self.engine, preferences),
        }


def looked_at(window: Window) -> float:
    """The engine speed at which shafts are shown: what to set, else what never to pass, as it is printed. [rev/s]"""
    return window.target or from_rpm(floor_rpm(window.ceiling) or rpm(USUAL_TOP))


def handles_of(
    job: Job, window: Window, preferences: Preferences, given: Mapping[str, str] | None = None
) -> list[Handle]:
    """A handle for every blade, every pulley and the engine's speed; each stands where it was left."""
    moved = given or {}
    unit = "in" if preferences.units == "inch" else "mm"
    handles = [
        _handle(name, label, size, unit, preferences, moved) for name, label, size in _sizes(job.machine)
    ]
    speed = looked_at(window)
    return [_handle(ENGINE, gettext("Engine speed"), speed, "rpm", preferences, moved), *handles]


def _sizes(machine: Machine) -> Iterator[tuple[str, str, float]]:
    """Name, words and size [m] of everything that could be exchanged."""
    for at, member in enumerate(machine.members):
        if member.kind == "blade" and member.sizes:
            yield f"blade-{at}", said(member.name), max(size.diameter.value for size in member.sizes)
    for at, coupling in enumerate(machine.couplings):
        for place, part in enumerate(coupling.parts if coupling.kind == "belt" else ()):
            ends = ends_on(machine, coupling, place)
            if ends[0] == (coupling, place):  # a pulley that several belts run on is one handle
                yield f"pulley-{at}-{place}", _pulley_words(coupling, place, ends), part.size.value


def _pulley_words(coupling: Coupling, place: int, ends: tuple[tuple[Coupling, int], ...]) -> str:
    """Where a pulley sits, and on a driving shaft what it drives."""
    if place:
        return gettext("pulley on %(shaft)s") % {"shaft": said(coupling.driven)}
    driven = ", ".join(said(other.driven) for other, _ in ends)
    return gettext("pulley on %(shaft)s, to %(driven)s") % {"shaft": said(coupling.driver), "driven": driven}


def _handle(
    name: str, label: str, size: float, unit: str, preferences: Preferences, moved: Mapping[str, str]
) -> Handle:
    grain = STEP[unit]
    here = in_unit(size, unit)
    least = math.floor(here * (1 - REACH) / grain) * grain
    most = math.ceil(here * (1 + REACH) / grain) * grain
    value = _moved(moved.get(name, ""), unit)
    now = here if value is None else min(max(in_unit(value, unit), least), most)
    moved_to = size if value is None else value
    words = str(show.speed(moved_to, preferences)) if unit == "rpm" else show.length(moved_to, preferences)
    return Handle(name, label, unit, least, most, grain, now, words)


def _moved(text: str, unit: str) -> float | None:
    """Where a handle was moved to, in SI; a browser writes it with a point whatever the language."""
    try:
        return parse(f"{text} {unit}", dimension=DIMENSION[unit], field="what if").value if text else None
    except InputError:
        return None


def tried(job: Job, given: Mapping[str, str]) -> Trial:
    """The job with every handle where it was moved to, worked out anew without its readings."""
    unit = "in" if given.get("unit") == "in" else "mm"
    machine = job.machine
    for name, _, _ in _sizes(job.machine):
        size = _moved(given.get(name, ""), unit)
        if size is not None:
            machine = _with(machine, name, size)
    changed = replace(job, machine=machine, as_found=Stage(), as_left=Stage())
    result = work(changed)
    engine = _moved(given.get(ENGINE, ""), "rpm")
    speed = engine or looked_at(result.window)
    return Trial(changed, result, speed, machine != job.machine)


def _with(machine: Machine, name: str, size: float) -> Machine:
    kind, *places = name.split("-")
    at = int(places[0])
    if kind == "blade":
        member = replace(machine.members[at], sizes=(Size("what if", exact(size)),))
        return replace(machine, members=(*machine.members[:at], member, *machine.members[at + 1 :]))
    coupling = machine.couplings[at]
    place = int(places[1])
    return exchanged(machine, coupling, place, replace(coupling.parts[place], size=exact(size)))
