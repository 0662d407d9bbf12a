"""Say which columns a table of machines may have, and which place of the machine sheet each fills."""

import re

from snath.quantities.toml_text import spoken
from snath.shop.tables.headings import column_named, parted
from snath.shop.tables.typed import typed

Place = tuple[str | int, ...]

ON_SHEET: dict[str, Place] = {
    "machine": ("name",),
    "serial": ("serial",),
    "kind": ("kind",),
    "use": ("use",),
    "made": ("made",),
    "product": ("product",),
    "cutting_width": ("cutting_width",),
    "weight": ("weight",),
    "power": ("power",),
    "notes": ("notes",),
    "engine": ("engine", "code"),
    "rated_max": ("engine", "rated_max"),
    "clutch": ("engine", "clutch"),
    "maker_speed": ("engine", "maker_no_load", "speed"),
    "maker_tolerance": ("engine", "maker_no_load", "tolerance"),
    "maker_condition": ("engine", "maker_no_load", "condition"),
    "maker_source": ("engine", "maker_no_load", "source"),
    "blade": ("member", 0, "blade", "length"),
    "blade_width": ("member", 0, "blade", "width"),
    "blade_measured": ("member", 0, "blade", "measured"),
    "belt": ("coupling", 0, "belt", "section"),
    "engine_pulley": ("coupling", 0, "belt", "driver_outside"),
    "blade_pulley": ("coupling", 0, "belt", "driven_outside"),
    "engine_teeth": ("coupling", 0, "gear", "driver_teeth"),
    "blade_teeth": ("coupling", 0, "gear", "driven_teeth"),
}
BY_PLACE = {spoken(place): column for column, place in ON_SHEET.items()}
BESIDE = (
    *("number", "customer", "reading", "read_at", "condition", "u", "instrument", "accuracy"),
    *("read_on", "every", "due_on"),
)
COLUMNS = (*ON_SHEET, *BESIDE)
LENGTHS = frozenset(
    (
        *("length", "width", "arms", "new_largest", "diameter", "cutting_width", "datum_offset"),
        *("driver_outside", "driver_datum", "driven_outside", "driven_datum", "driver_by", "driven_by"),
    )
)
SPEEDS = frozenset(
    (
        *("rated_max", "rated_min", "idle", "speed", "tolerance", "shop_tolerance", "at_most"),
        *("speed_max", "speed_min", "driver", "driven"),
    )
)
WHOLE = frozenset(
    (
        "made",
        "strokes",
        "cylinders",
        "driver_teeth",
        "driven_teeth",
        "poles",
        "sheet",
    )  # bare numbers on a sheet
)
UNITS = ("in", "mm", "cm", "ft", "rpm", "1/min")
PATH = re.compile(r"(engine|(coupling|member)\[[1-9][0-9]?\])(\.[a-z_]+)+")
STEP = re.compile(r"([a-z_]+)(?:\[([0-9]+)\])?")
CELLS = {column: typed(f"cell.{column}") for column in COLUMNS}
HEADINGS = typed("fleet")


def column_of(head: str) -> str:
    """The column a heading speaks of, or the place of the sheet it names; empty where it is none."""
    plain = parted(head, UNITS)[0]
    found = column_named(plain, COLUMNS, HEADINGS)
    return found or (plain.strip() if PATH.fullmatch(plain.strip()) else "")


def name_of(column: str, language: str) -> str:
    """What a column is called in a language, as somebody would type its heading."""
    if column not in COLUMNS:
        return column
    words = {core: word for word, core in reversed(typed("fleet", language).items())}
    name = words.get(column, column.replace("_", " "))
    return name[:1].upper() + name[1:]


def unit_of(head: str) -> str:
    """The unit a heading states for the bare numbers below it; empty where it states none."""
    return parted(head, UNITS)[1]


def key_of(column: str) -> str:
    """The last name of the place a column fills; its own for what is kept beside the sheet."""
    place = place_of(column)
    return column if place is None else next(step for step in reversed(place) if isinstance(step, str))


def is_figure(column: str) -> bool:
    """Whether a length or a speed stands below it."""
    return key_of(column) in LENGTHS | SPEEDS | {"reading", "u"}


def place_of(column: str) -> Place | None:
    """The place of the sheet a column fills; None for what is kept beside the sheet."""
    if column in ON_SHEET:
        return ON_SHEET[column]
    if column in BESIDE:
        return None
    steps: list[str | int] = []
    for name, at in STEP.findall(column):
        steps += [name, int(at) - 1] if at else [name]
    return tuple(steps)
