"""Build a machine from the tables of a sheet that passed every check; its couplings apart."""

from snath.decisions.machine.clutch import Clutch, clutch_word
from snath.decisions.machine.maker_figure import assumed_tolerance
from snath.decisions.machine.parts import (
    Condition,
    Coupling,
    Engine,
    Machine,
    MakerFigure,
    Member,
    Size,
    Taken,
)
from snath.decisions.machine.sheet_doubt import Unsaid
from snath.decisions.machine.sheet_engine import EngineTable, MakerNoLoadTable
from snath.decisions.machine.sheet_fields import INCH, named, one_of
from snath.decisions.machine.sheet_members import (
    TABLES,
    AlternatorTable,
    BladeTable,
    DiscTable,
    DrivenTable,
    Marked,
    MemberTable,
    StringHeadTable,
    WheelTable,
)
from snath.decisions.machine.sheet_schema import SheetTable
from snath.formulas.blades import tip_circle_from_bar
from snath.formulas.larger import larger_of_two
from snath.quantities.measured import Line, Measured, combine, exact, scaled
from snath.quantities.message import Message
from snath.quantities.units import Quantity
from snath.rules.kinds import PART_KINDS

GENERATOR = "generator"
AS_IT_IS = "as it is"
NEW_LARGEST = "new largest"  # the maker lists
# wide; what a blade counts as where nobody said how it was measured (common practice, no source)
BAR = 3 * INCH


def machine_of(table: SheetTable, couplings: tuple[Coupling, ...], unsaid: Unsaid) -> Machine:
    """The whole machine, with what its sheet left unsaid."""
    members = tuple(_member(row, f"member[{place + 1}]", unsaid) for place, row in enumerate(table.member))
    return Machine(
        name=table.name,
        kind=table.kind,
        engine=_engine(table.engine, clutch_word(table.kind, table.engine.clutch), table.kind),
        couplings=couplings,
        members=members,
        use=table.use,
        made=table.made,
        serial=table.serial,
        notes=table.notes,
        product=table.product or "",
        cutting_width=_value(table.cutting_width),
        weight=_value(table.weight),
        power=_value(table.power),
        taken=tuple(unsaid.taken),
    )


def _engine(table: EngineTable, clutch: Clutch, kind: str) -> Engine:
    electric = table.prime_mover != "engine"
    return Engine(
        prime_mover=table.prime_mover,
        code=table.code,
        strokes=table.strokes,
        cylinders=table.cylinders,
        firings=_firings(table),
        ignition="no spark" if electric else table.ignition,
        governor=table.governor or ("electronic" if electric else "mechanical"),
        rated_max=_value(table.rated_max),
        rated_min=_value(table.rated_min),
        idle=_value(table.idle),
        droop=table.droop,
        maker_no_load=_maker_figure(table.maker_no_load, clutch, kind),
        maker_most=_maker_most(table.maker_no_load, clutch),
        clutch=clutch == "by hand",
        centrifugal=clutch == "centrifugal",
    )


def _firings(table: EngineTable) -> tuple[float, ...] | None:
    if table.firing_angles is not None:
        cycle = 360 if table.strokes == 2 else 720
        return tuple(angle / cycle for angle in table.angles_deg())
    if table.cylinders is not None and (table.firing == "even" or table.cylinders == 1):
        return tuple(place / table.cylinders for place in range(table.cylinders))
    return None


def _maker_figure(table: MakerNoLoadTable | None, clutch: Clutch, kind: str) -> MakerFigure | None:
    """The figure with its tolerance: the maker's, else the shop's, else what is assumed; of a set its hertz count."""
    if table is None or table.speed is None:
        return None
    speed = table.speed.measured.value
    printed = table.tolerance.measured.value if table.tolerance else table.speed.half_width
    tolerance, given_by = printed, ""
    if printed == 0 and table.shop_tolerance is not None:
        tolerance, given_by = table.shop_tolerance.measured.value, "shop"
    elif printed == 0:
        if kind == GENERATOR:
            return None
        tolerance, given_by = assumed_tolerance(speed), "assumed"
    return MakerFigure(speed, tolerance, _no_load(table, clutch), table.source, given_by)


def _maker_most(table: MakerNoLoadTable | None, clutch: Clutch) -> MakerFigure | None:
    if table is None or table.at_most is None:
        return None
    return MakerFigure(table.at_most.measured.value, 0.0, _no_load(table, clutch), table.source)


def _no_load(table: MakerNoLoadTable, clutch: Clutch) -> Condition:
    """Where nothing can be disengaged by hand no load means blades in air, however it is put."""
    return table.condition if clutch == "by hand" else "blades in air"


def _value(found: Quantity | None) -> float | None:
    return None if found is None else found.measured.value


def _member(row: MemberTable, path: str, unsaid: Unsaid) -> Member:
    kind = one_of(row, TABLES)
    table: Marked = getattr(row, kind)
    alternator = table if isinstance(table, AlternatorTable) else AlternatorTable.model_construct()
    spoken = next(one.name for one in PART_KINDS if one.key == kind)
    return Member(
        name=row.name,
        shaft=row.shaft,
        kind=spoken,
        sizes=_sizes(table, f"{path}.{kind}", row.name, unsaid),
        poles=alternator.poles,
        speed_max=_value(table.speed_max),
        speed_min=_value(table.speed_min),
        frequency_max=_value(alternator.frequency_max),
        frequency_min=_value(alternator.frequency_min),
        surface_max=_value(table.surface_max) if isinstance(table, DiscTable) else None,
        source=table.source,
        inverter=alternator.inverter,
        marked_class=_marked_class(table),
        unlimited=table.unlimited if isinstance(table, DrivenTable) else "",
    )


def _marked_class(table: Marked) -> str:
    if isinstance(table, WheelTable):
        return table.marked_class or ""
    return (table.performance_class or "") if isinstance(table, AlternatorTable) else ""


def _sizes(table: Marked, path: str, name: str, unsaid: Unsaid) -> tuple[Size, ...]:
    if isinstance(table, BladeTable):
        sizes = [_tip_circle(table, path, name, unsaid)]
        if table.new_largest is not None:  # from the maker's list
            sizes.append(Size(NEW_LARGEST, named(table.new_largest, f"{path}.new_largest")))
        return tuple(sizes)
    if isinstance(table, StringHeadTable | DiscTable) and table.diameter is not None:
        where = f"{path}.diameter"
        return (
            Size(AS_IT_IS, unsaid.length(table.diameter, where, name, "diameter", page=table.sizes_from)),
        )
    return ()


def _tip_circle(table: BladeTable, path: str, name: str, unsaid: Unsaid) -> Size:
    page = table.sizes_from
    if table.arms is not None:
        return _of_arms(
            *(
                unsaid.length(arm, f"{path}.arms[{place + 1}]", name, "arms", page=page)
                for place, arm in enumerate(table.arms)
            )
        )
    assert table.length is not None
    length = unsaid.length(table.length, f"{path}.length", name, "length", page=page)
    if table.width is not None:
        width = unsaid.length(table.width, f"{path}.width", name, "width", page=page)
    elif table.measured is None:
        width = exact(BAR)
        unsaid.take(Taken("bar width", name, "length", BAR))
    else:
        return Size(AS_IT_IS, length)
    across = float(tip_circle_from_bar(length=length.value, width=width.value))
    circle = combine(across, [(length, length.value / across), (width, width.value / across)])
    return Size(AS_IT_IS, circle)


def _of_arms(first: Measured, second: Measured) -> Size:
    """Twice the larger arm as it measures, with the doubt of the larger of two and how much longer it is."""
    longer = max(first.value, second.value)
    mean, u, chance = larger_of_two(
        first=first.value, second=second.value, u_first=first.u, u_second=second.u
    )
    shares = combine(longer, [(first, chance), (second, 1 - chance)])
    rest = max(u**2 - shares.u**2, 0.0) ** 0.5
    which = (Line(Message("budget.longer-arm"), rest),) if rest > 0 else ()
    return Size(AS_IT_IS, scaled(Measured(longer, (*shares.lines, *which)), 2.0), 2 * (mean - longer))
