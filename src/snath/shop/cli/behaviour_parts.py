"""One table of a job file to the input of one decision: governor, setting, stop, throw, balance, check list."""

from collections.abc import Callable

from snath.decisions.behaviour.balance import BalanceInput
from snath.decisions.behaviour.checklist import ChecklistInput, Mark
from snath.decisions.behaviour.governor import Alternator, GovernorInput
from snath.decisions.behaviour.setting_input import SettingInput, SettingPoint
from snath.decisions.behaviour.stop import StopInput
from snath.decisions.behaviour.thrown import Opening, Surroundings, Thing, ThrowInput
from snath.decisions.machine.parts import Machine
from snath.decisions.machine.sheet_fields import named
from snath.decisions.window.window import Window
from snath.quantities.errors import InputError
from snath.quantities.measured import Measured
from snath.quantities.units import Quantity
from snath.rules.kinds import TIPPED
from snath.shop.cli.behaviour_schema import (
    BalanceTable,
    ChecklistTable,
    GovernorTable,
    SettingTable,
    StopTable,
    ThrowTable,
)
from snath.shop.cli.behaviour_tracks import Taken

Tracks = Callable[..., Taken | None]
RATED_FREQUENCY = 60.0  # Hz, where a set's plate is not copied


def governor_input(row: GovernorTable, part: str, machine: Machine, track: Tracks) -> GovernorInput:
    """Typed speeds, a track with its changes of load, and what the alternator is."""
    _shaft_of(machine, row.shaft, "shaft")
    marks = [*(("load on", at) for at in row.load_on), *(("load off", at) for at in row.load_off)]
    found = track(row, row.shaft, *marks)
    if marks and found is None:
        raise InputError("load_on", "a moment", "belongs to a recording or track; none is named")
    return GovernorInput(
        no_load=_measured(row.no_load, f"{part}.no_load"),
        loaded=_measured(row.loaded, f"{part}.loaded"),
        track=found.track if found else None,
        track_load=row.track_load,
        load_w=_si(row.load),
        rated_w=_si(row.rated),
        alternator=_alternator(row),
    )


def _alternator(row: GovernorTable) -> Alternator | None:
    if row.poles is None and not row.inverter:
        if row.frequency is not None:
            raise InputError("poles", "nothing", "must be given with a frequency")
        return None
    frequency = _si(row.frequency)
    return Alternator(row.poles or 2, RATED_FREQUENCY if frequency is None else frequency, row.inverter)


def setting_input(row: SettingTable, window: Window) -> SettingInput:
    """What was tried, towards the window's target; towards the file's own where the window has none."""
    target = window.target if window.target is not None else _si(row.target)
    band = tuple(one.measured.value for one in row.set_between or ())
    if window.set_low is not None and window.set_high is not None and window.target is not None:
        band = (window.set_low, window.set_high)
    ceiling = window.pass_below if window.pass_below is not None else _si(row.ceiling)
    if target is None or len(band) != 2 or ceiling is None:
        lacking = "target" if target is None else "set_between" if len(band) != 2 else "ceiling"
        raise InputError(lacking, "nothing", "must be given: the window of this machine has none")
    idle = [one.measured.value for one in row.idle_between or ()]
    points = tuple(
        SettingPoint(point.position, named(point.speed, f"setting.point[{place}]"), _si(point.idle))
        for place, point in enumerate(row.point, start=1)
    )
    return SettingInput(
        kind=row.kind,
        points=points,
        target=target,
        set_low=band[0],
        set_high=band[1],
        ceiling=ceiling,
        idle_low=idle[0] if idle else None,
        idle_high=idle[1] if idle else None,
    )


def stop_input(row: StopTable, machine: Machine, track: Tracks) -> StopInput:
    """The run-down of the blade's shaft, or of the one it was taken at."""
    blade = row.blade_shaft or _blade_shaft(machine)
    _shaft_of(machine, blade, "blade_shaft")
    shaft = row.shaft or blade
    _shaft_of(machine, shaft, "shaft")
    marks = [(name, at) for name, at in (("release", row.release), ("standstill", row.standstill)) if at]
    found = track(row, shaft, *marks)
    if found is None:
        raise InputError("track", "nothing", "a stop test needs a recording or a track of the run-down")
    told = {
        name: value
        for name, given in (("u_release", row.u_release), ("u_standstill", row.u_standstill))
        if (value := _si(given)) is not None
    }
    return StopInput(
        track=found.track,
        blade_shaft=blade,
        device=row.device,
        maker_limit=_si(row.maker_limit),
        maker_source=row.manual,
        **told,
    )


def throw_input(row: ThrowTable) -> ThrowInput:
    """Things and the opening; stages come from the readings."""
    opening = None
    if row.opening is not None:
        place = row.opening
        opening = Opening(
            struck_height=place.struck_height.measured.value,
            edge_distance=place.edge_distance.measured.value,
            edge_low=place.edge_low.measured.value,
            edge_high=place.edge_high.measured.value,
        )
    return ThrowInput(
        stages=(),
        things=tuple(Thing(one.name, one.mass.measured.value, one.density) for one in row.thing),
        bounce_low=row.bounce_low,
        bounce_high=row.bounce_high,
        opening=opening,
        surroundings=Surroundings(wind=_si(row.wind) or 0.0, slope=_si(row.slope) or 0.0),
        carrying=1.0 if row.carrying is None else row.carrying.measured.value,
    )


def balance_input(row: BalanceTable) -> BalanceInput:
    """The blade, the bit that is missing, and where it would be ground; at the tip where not said."""
    tip = row.blade.measured.value / 2
    grind = _si(row.grind_radius)
    return BalanceInput(
        mass=row.mass.measured.value,
        missing=row.missing.measured.value,
        missing_radius=row.missing_radius.measured.value,
        tip_radius=tip,
        grind_radius=tip if grind is None else grind,
        rotation=row.speed.measured.value,
        grade=row.grade,
        mover=_si(row.mover),
        mover_radius=_si(row.mover_radius),
        hole_play=_si(row.hole_play) or 0.0,
        machine_mass=_si(row.machine_mass),
    )


def checklist_input(row: ChecklistTable) -> ChecklistInput:
    """The marks as put down; one check is marked once."""
    seen: set[str] = set()
    for place, mark in enumerate(row.mark, start=1):
        if mark.check in seen:
            raise InputError("mark", mark.check, f"is marked twice, again at mark {place}")
        seen.add(mark.check)
    marks = tuple(Mark(mark.check, mark.state, mark.note, mark.put_right, mark.by) for mark in row.mark)
    return ChecklistInput(marks, row.not_adjustable, row.seals, tuple(row.in_order))


def _blade_shaft(machine: Machine) -> str:
    blades = [member.shaft for member in machine.members if member.kind in TIPPED]
    if not blades:
        raise InputError("blade_shaft", "nothing", "must be given: the sheet has no blade")
    return blades[0]


def _shaft_of(machine: Machine, shaft: str, field: str) -> None:
    if shaft not in machine.shafts:
        raise InputError(field, shaft, f"must be a shaft of the sheet: {', '.join(machine.shafts)}")


def _measured(given: Quantity | None, path: str) -> Measured | None:
    return None if given is None else named(given, path)


def _si(given: Quantity | None) -> float | None:
    return None if given is None else given.measured.value
