"""Build the couplings between shafts from the tables of a sheet that has been found in order."""

from typing import Literal

from snath.decisions.machine import couplings as build
from snath.decisions.machine.parts import Coupling, CouplingKind, Part, Taken
from snath.decisions.machine.sheet_couplings import CouplingTable
from snath.decisions.machine.sheet_doubt import Unsaid
from snath.decisions.machine.sheet_fields import named
from snath.decisions.machine.sheet_pulleys import BeltEnd, measured_at, part_number
from snath.formulas.belts.sections import combination_depths
from snath.quantities.measured import Measured, exact, quotient, scaled
from snath.quantities.toml_text import spoken

Role = Literal["driver sheave", "driven sheave"]
WORN = 0.003  # m; how deep a belt may ride in a groove nobody looked at (common practice, no source)


def coupling_of(table: CouplingTable, place: int, ends: tuple[BeltEnd, ...], unsaid: Unsaid) -> Coupling:
    """The coupling at a place of the sheet; InputError where a sheave cannot be what it is said to be.

    `ends` are those of every belt on the sheet: a pulley may be measured at another belt that runs on it.
    `unsaid` takes what was taken for granted.
    """
    path = spoken(("coupling", place))
    sense = 1 if table.sense == "same" or (table.sense is None and table.gear is None) else -1
    shafts, source = (table.driver, table.driven), table.source
    if table.belt is not None:
        driver, driven = (_sheave(end, ends, table.driven, unsaid) for end in ends if end.place == place)
        return build.belt_coupling(
            *shafts,
            driver_sheave=driver,
            driven_sheave=driven,
            sense=sense,
            slip_max=table.slip_max,
            source=source,
        )
    if (teeth := table.gear or table.chain) is not None:
        return build.toothed_coupling(
            *shafts,
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
            *shafts, ratio=ratio, kind=kind, sense=sense, slip_max=table.slip_max, source=source
        )
    if (span := table.variable) is not None:
        return build.variable_coupling(
            *shafts, least=span.least, most=span.most, sense=sense, slip_max=table.slip_max, source=source
        )
    return build.direct_coupling(*shafts, sense=sense, source=source)


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


def _sheave(end: BeltEnd, ends: tuple[BeltEnd, ...], driven: str, unsaid: Unsaid) -> Part:
    """The sheave at one end of a belt, its doubt traced to the place where it was measured."""
    at = measured_at(end, ends)
    role: Role = "driver sheave" if end.end == "driver" else "driven sheave"
    outside = None
    if at.outside is not None:
        outside = unsaid.length(at.outside, spoken(at.key("outside")), driven, role, page=at.page)
    return build.sheave(
        role,
        section=end.section,
        outside=outside,
        datum=None if at.datum is None else named(at.datum, spoken(at.key("datum"))),  # stamped by its maker
        offset=None if end.offset is None else end.offset.value,
        maker_part=part_number(end, ends),
        pulley=end.pulley,
        sunk=_sunk(end, driven, role, unsaid),
    )


def _sunk(end: BeltEnd, driven: str, role: Role, unsaid: Unsaid) -> tuple[Measured, ...]:
    """How deep the belt lies in the groove: as somebody saw it, else anything from its place to worn."""
    if end.rides == "flush":
        return ()
    if end.by is not None:
        by = unsaid.length(end.by, spoken(end.key("by")), driven, role)
        return (scaled(by, -1.0 if end.rides == "above" else 1.0),)
    depths = combination_depths(end.section) if end.combination else (0.0,)
    unsaid.take(Taken("ride", driven, role, WORN))
    return tuple(exact(depth) for depth in dict.fromkeys((*depths, max(depths) + WORN)))
