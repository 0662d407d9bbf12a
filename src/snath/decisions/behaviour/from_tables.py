"""Make the input of one decision from the table of its question: governor, setting, stop, throw, balance, checks."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from snath.decisions.behaviour.asked import (
    Alternator,
    BalanceInput,
    ChecklistInput,
    GovernorInput,
    Mark,
    StopInput,
)
from snath.decisions.behaviour.setting_input import SettingInput, SettingPoint
from snath.decisions.behaviour.tables import (
    BalanceTable,
    ChecklistTable,
    GovernorTable,
    SettingTable,
    StopTable,
    ThrowTable,
    TrackTable,
)
from snath.decisions.behaviour.thrown import Opening, Surroundings, Thing, ThrowInput
from snath.decisions.machine.maker_figure import assumed_tolerance
from snath.decisions.machine.parts import Machine
from snath.decisions.machine.sheet_fields import Table, named
from snath.decisions.window.window import Window
from snath.formulas.signals.candidates import Event, Track
from snath.quantities.errors import InputError
from snath.quantities.message import Message
from snath.quantities.units import Quantity
from snath.rules.kinds import TIPPED

Tracks = Callable[
    [TrackTable, str], Track | None
]  # the speed of that shaft over time, where the table names one


def governor_input(row: GovernorTable, part: str, machine: Machine | None, tracks: Tracks) -> GovernorInput:
    """Typed speeds, a track with its changes of load, and what the alternator is."""
    if machine is not None:
        _shaft_of(machine, row.shaft, "shaft")
    track = tracks(row, row.shaft)
    if track is None and (row.load_on or row.load_off):
        raise InputError("load_on", "a moment", Message("track.none-named"))
    return GovernorInput(
        no_load=None if row.no_load is None else named(row.no_load, f"{part}.no_load"),
        loaded=None if row.loaded is None else named(row.loaded, f"{part}.loaded"),
        track=None if track is None else _marked(track, {"load on": row.load_on, "load off": row.load_off}),
        track_load=row.track_load,
        load_w=si(row.load),
        rated_w=si(row.rated),
        alternator=_alternator(row),
    )


def _alternator(row: GovernorTable) -> Alternator | None:
    if row.poles is None and not row.inverter:
        if "frequency" in row.model_fields_set:
            raise InputError("poles", "nothing", Message("governor.poles-needed"))
        return None
    poles = {} if row.poles is None else {"poles": row.poles}
    return Alternator(rated_frequency=si(row.frequency), inverter=row.inverter, **poles)


def setting_input(row: SettingTable, window: Window | None = None) -> SettingInput:
    """What was tried, towards the window's target; towards the table's own where the window has none.

    Without a band it is the usual one about the target, under the ceiling.
    """
    target, ceiling = si(row.target), si(row.ceiling)
    band = tuple(si(one) for one in row.set_between or ())
    if window is not None:
        target = target if window.target is None else window.target
        ceiling = ceiling if window.pass_below is None else window.pass_below
        if window.set_low is not None and window.set_high is not None and window.target is not None:
            band = (window.set_low, window.set_high)
    if target is None or ceiling is None:
        lacking = "target" if target is None else "ceiling"
        raise InputError(lacking, "nothing", Message("setting.no-own"))
    by = assumed_tolerance(target)
    low, high = band or (target - by, min(target + by, ceiling))
    idle = tuple(si(one) for one in row.idle_between or ()) or (None, None)
    return SettingInput(
        kind=row.kind,
        points=tuple(
            SettingPoint(point.position, named(point.speed, f"setting.point[{place}]"), si(point.idle))
            for place, point in enumerate(row.point, start=1)
        ),
        target=target,
        set_low=low,
        set_high=high,
        ceiling=ceiling,
        idle_low=idle[0],
        idle_high=idle[1],
    )


def stop_input(row: StopTable, machine: Machine, tracks: Tracks) -> StopInput:
    """The run-down of the blade's shaft, or of the one it was taken at."""
    blade = row.blade_shaft or blade_shaft(machine)
    _shaft_of(machine, blade, "blade_shaft")
    shaft = row.shaft or blade
    _shaft_of(machine, shaft, "shaft")
    track = tracks(row, shaft)
    if track is None:
        raise InputError("track", "nothing", Message("stop.needs-track"))
    marks = {name: [at] for name, at in (("release", row.release), ("standstill", row.standstill)) if at}
    return StopInput(
        track=_marked(track, marks),
        blade_shaft=blade,
        maker_source=row.manual,
        **si_of(row, "device", "maker_limit", "u_release", "u_standstill"),
    )


def throw_input(row: ThrowTable) -> ThrowInput:
    """Things and the opening; stages come from the readings."""
    return ThrowInput(
        stages=(),
        things=tuple(Thing(**si_of(one)) for one in row.thing),
        opening=None if row.opening is None else Opening(**si_of(row.opening)),
        surroundings=Surroundings(**si_of(row, "wind", "slope")),
        **si_of(row, "bounce_low", "bounce_high", "carrying"),
    )


def balance_input(row: BalanceTable) -> BalanceInput:
    """The blade, the bit that is missing, and where it would be ground; at the tip where not said."""
    tip = si(row.blade) / 2
    same = (
        "mass",
        "missing",
        "missing_radius",
        "grade",
        "mover",
        "mover_radius",
        "hole_play",
        "machine_mass",
    )
    grind = tip if row.grind_radius is None else si(row.grind_radius)
    return BalanceInput(tip_radius=tip, grind_radius=grind, rotation=si(row.speed), **si_of(row, *same))


def checklist_input(row: ChecklistTable) -> ChecklistInput:
    """The marks as put down; one check is marked once."""
    seen: set[str] = set()
    for place, mark in enumerate(row.mark, start=1):
        if mark.check in seen:
            raise InputError("mark", mark.check, Message("checks.marked-twice", place=place))
        seen.add(mark.check)
    marks = tuple(Mark(mark.check, mark.state, mark.note, mark.put_right, mark.by) for mark in row.mark)
    return ChecklistInput(marks, row.not_adjustable, row.seals, tuple(row.in_order))


def blade_shaft(machine: Machine, blade: str | None = None) -> str:
    """The shaft of the blade of that name, of the first where none is named.

    Raises
    ------
    InputError
        Where the sheet has no such blade.
    """
    blades = [member for member in machine.members if member.kind in TIPPED]
    if not blades and blade is None:
        raise InputError("blade_shaft", "nothing", Message("stop.no-blade"))
    shafts = [member.shaft for member in blades if blade in (None, member.name)]
    if not shafts:
        known = tuple(member.name for member in blades)
        raise InputError("blade", blade, Message("stop.blade-of-sheet", known=known))
    return shafts[0]


def si_of(row: Table, *names: str) -> dict[str, Any]:
    """Those entries of a table in SI, by name; all of them where none is named."""
    return {name: si(getattr(row, name)) for name in names or type(row).model_fields}


def si(given: Any) -> Any:
    """What was given in SI; what has no unit as it is."""
    return given.measured.value if isinstance(given, Quantity) else given


def _marked(track: Track, moments: dict[str, list[Quantity]]) -> Track:
    events = tuple(Event(si(at), kind) for kind, given in moments.items() for at in given)
    return replace(track, events=(*track.events, *events))


def _shaft_of(machine: Machine, shaft: str, field: str) -> None:
    if shaft not in machine.shafts:
        raise InputError(field, shaft, Message("fault.shaft-of-sheet", known=tuple(machine.shafts)))
