"""From the tables of a sheet that has been found in order to the machine they describe; joints apart."""

from typing import get_args

from snath.decisions.machine.parts import (
    Coupling,
    Engine,
    Machine,
    MakerFigure,
    Member,
    MemberKind,
    Size,
)
from snath.decisions.machine.sheet_engine import EngineTable, MakerNoLoadTable
from snath.decisions.machine.sheet_fields import half_width, named, one_of
from snath.decisions.machine.sheet_members import (
    MEMBER_KINDS,
    AlternatorTable,
    BladeTable,
    Marked,
    MemberTable,
    StringHeadTable,
    WheelTable,
)
from snath.decisions.machine.sheet_schema import SheetTable
from snath.formulas.blades import tip_circle_from_bar
from snath.quantities.measured import Measured, combine, scaled
from snath.quantities.units import Quantity

AS_IT_IS = "as it is"
NEW_LARGEST = "new, largest the maker lists"


def machine_of(table: SheetTable, couplings: tuple[Coupling, ...]) -> Machine:
    """The whole machine."""
    return Machine(
        name=table.name,
        kind=table.kind,
        engine=_engine(table.engine),
        couplings=couplings,
        members=tuple(_member(row, f"member[{place + 1}]") for place, row in enumerate(table.member)),
        use=table.use,
        made=table.made,
        serial=table.serial,
        notes=table.notes,
    )


def _engine(table: EngineTable) -> Engine:
    electric = table.prime_mover != "engine"
    return Engine(
        prime_mover=table.prime_mover,
        code=table.code,
        strokes=table.strokes,
        cylinders=table.cylinders,
        firings=_firings(table),
        ignition="no spark" if electric else table.ignition,
        governor=table.governor or ("electronic" if electric else "mechanical"),
        rated_max=_speed(table.rated_max),
        rated_min=_speed(table.rated_min),
        idle=_speed(table.idle),
        droop=table.droop,
        maker_no_load=_maker_figure(table.maker_no_load),
        clutch=table.clutch,
    )


def _firings(table: EngineTable) -> tuple[float, ...] | None:
    if table.firing_angles is not None:
        cycle = 360 if table.strokes == 2 else 720
        return tuple(angle / cycle for angle in table.angles_deg())
    if table.cylinders is not None and (table.firing == "even" or table.cylinders == 1):
        return tuple(place / table.cylinders for place in range(table.cylinders))
    return None


def _maker_figure(table: MakerNoLoadTable | None) -> MakerFigure | None:
    if table is None:
        return None
    tolerance = table.tolerance.measured.value if table.tolerance else half_width(table.speed)
    return MakerFigure(table.speed.measured.value, tolerance, table.condition, table.source)


def _speed(found: Quantity | None) -> float | None:
    return None if found is None else found.measured.value


def _member(row: MemberTable, path: str) -> Member:
    kind = one_of(row, MEMBER_KINDS)
    table: Marked = getattr(row, kind)
    alternator = table if isinstance(table, AlternatorTable) else AlternatorTable.model_construct()
    spoken: MemberKind = next(word for word in get_args(MemberKind) if word.replace(" ", "_") == kind)
    return Member(
        name=row.name,
        shaft=row.shaft,
        kind=spoken,
        sizes=_sizes(table, f"{path}.{kind}"),
        poles=alternator.poles,
        speed_max=_speed(table.speed_max),
        speed_min=_speed(table.speed_min),
        frequency_max=_speed(alternator.frequency_max),
        frequency_min=_speed(alternator.frequency_min),
        surface_max=_speed(table.surface_max) if isinstance(table, WheelTable) else None,
        source=table.source,
        inverter=alternator.inverter,
    )


def _sizes(table: Marked, path: str) -> tuple[Size, ...]:
    if isinstance(table, BladeTable):
        sizes = [Size(AS_IT_IS, _tip_circle(table, path))]
        if table.new_largest is not None:
            sizes.append(Size(NEW_LARGEST, named(table.new_largest, f"{path}.new_largest")))
        return tuple(sizes)
    if isinstance(table, StringHeadTable | WheelTable) and table.diameter is not None:
        return (Size(AS_IT_IS, named(table.diameter, f"{path}.diameter")),)
    return ()


def _tip_circle(table: BladeTable, path: str) -> Measured:
    if table.arms is not None:
        arms = [named(arm, f"{path}.arms[{place + 1}]") for place, arm in enumerate(table.arms)]
        return scaled(max(arms, key=lambda arm: arm.value), 2.0)
    assert table.length is not None
    length = named(table.length, f"{path}.length")
    if table.width is None:
        return length
    width = named(table.width, f"{path}.width")
    across = float(tip_circle_from_bar(length=length.value, width=width.value))
    return combine(across, [(length, length.value / across), (width, width.value / across)])
