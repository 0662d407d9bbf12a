"""From the tables of a sheet that has been found in order to the machine they describe."""

from typing import get_args

from snath.decisions.machine import couplings as build
from snath.decisions.machine.parts import (
    Coupling,
    CouplingKind,
    Engine,
    Machine,
    MakerFigure,
    Member,
    MemberKind,
    Part,
    Size,
)
from snath.decisions.machine.sheet_couplings import BeltTable, CouplingTable
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
from snath.quantities.measured import Measured, combine, quotient, scaled
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


def coupling_of(table: CouplingTable, path: str) -> Coupling:
    """One coupling; InputError where a sheave cannot be what it is said to be."""
    sense = 1 if table.sense == "same" or (table.sense is None and table.gear is None) else -1
    ends, source = (table.driver, table.driven), table.source
    if table.belt is not None:
        driver, driven = _sheaves(table.belt, f"{path}.belt")
        return build.belt_coupling(
            *ends,
            driver_sheave=driver,
            driven_sheave=driven,
            sense=sense,
            slip_max=table.slip_max,
            source=source,
        )
    if (teeth := table.gear or table.chain) is not None:
        return build.toothed_coupling(
            *ends,
            driver_teeth=teeth.driver_teeth,
            driven_teeth=teeth.driven_teeth,
            kind="gear" if table.gear else "chain",
            sense=sense,
            source=source,
            maker_parts=(teeth.driver_part, teeth.driven_part),
        )
    if (measured := _measured_ratio(table, path)) is not None:
        ratio, kind = measured
        return build.measured_coupling(
            *ends, ratio=ratio, kind=kind, sense=sense, slip_max=table.slip_max, source=source
        )
    if (span := table.variable) is not None:
        return build.variable_coupling(
            *ends, least=span.least, most=span.most, sense=sense, slip_max=table.slip_max, source=source
        )
    return build.direct_coupling(*ends, sense=sense, source=source)


def _measured_ratio(table: CouplingTable, path: str) -> tuple[Measured, CouplingKind] | None:
    """Ratio counted by hand or read at both ends, and which of the two; None where neither was done."""
    if (count := table.counted) is not None:
        ratio = build.counted_ratio(
            turns_in=count.turns_in.measured.value,
            turns_out=count.turns_out.measured.value,
            resolution=count.resolution.measured.value,
            field=path,
        )
        return ratio, "counted"
    if (both := table.two_readings) is not None:
        driven = named(both.driven, f"{path}.two_readings.driven")
        return quotient(driven, named(both.driver, f"{path}.two_readings.driver")), "two readings"
    return None


def _sheaves(table: BeltTable, path: str) -> tuple[Part, Part]:
    offset = None if table.datum_offset is None else table.datum_offset.measured.value

    def made(end: str) -> Part:
        outside, datum = getattr(table, f"{end}_outside"), getattr(table, f"{end}_datum")
        return build.sheave(
            f"{end} sheave",
            section=table.section,
            outside=None if outside is None else named(outside, f"{path}.{end}_outside"),
            datum=None if datum is None else named(datum, f"{path}.{end}_datum"),
            offset=offset,
            maker_part=getattr(table, f"{end}_part"),
        )

    return made("driver"), made("driven")


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
