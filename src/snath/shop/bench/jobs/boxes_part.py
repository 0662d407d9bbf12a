"""List what the form asks of each part that has a limit, and how its sizes were taken."""

from collections.abc import Mapping

from django.utils.translation import gettext_lazy as _

from snath.rules.kinds import PART_KINDS, Shape
from snath.rules.scope import SET_CLASSES, WHEEL_CLASSES
from snath.shop.bench.jobs.box import UNKNOWN, Box, Choices
from snath.shop.bench.jobs.boxes_drive import SIZES_FROM
from snath.shop.bench.words import said_later

PART_CHOICES: Choices = tuple((kind.key, said_later(kind.label)) for kind in PART_KINDS)
PART = (
    Box("name", ("name",), _("It is called"), must=True),
    Box("shaft", ("shaft",), _("It sits on"), "choice"),
    Box("kind", (), _("It is a"), "choice", PART_CHOICES),
)
ARMS_MEASURED, NOT_SAID = "arms", "not said"  # neither stands on the sheet in these words
MEASURED: Choices = (
    (ARMS_MEASURED, _("bore to tip, at both ends (best)")),
    ("corner to corner", _("corner to corner")),
    ("square across", _("square across, and its width")),
    ("swing from the bore", _("circle swung from the bore")),
    (NOT_SAID, _("nobody knows: counted as square across a 3 in bar")),
)
BLADE_START = (
    Box(
        "measured",
        ("measured",),
        _("How was it measured?"),
        "choice",
        MEASURED,
        _("To the farthest points: the tips draw a circle wider than a tape laid along the middle."),
    ),
)
ARMS = (
    Box("arm_1", ("arms", 0), _("Middle of bore to farthest point, one end"), "length", must=True),
    Box(
        "arm_2",
        ("arms", 1),
        _("The same, other end"),
        "length",
        hint=_("Over 1/8 in apart: bent. Stop."),
        must=True,
    ),
)
LENGTH = (Box("length", ("length",), _("Blade length"), "length", must=True),)
SQUARE = (*LENGTH, Box("width", ("width",), _("Blade width at its ends"), "length", must=True))
NEW_BLADE = (
    Box(
        "new_largest",
        ("new_largest",),
        _("Longest new blade the maker lists"),
        "length",
        hint=_("A worn blade is shorter than the one that will be fitted next."),
    ),
)
DIAMETER = Box("diameter", ("diameter",), _("Diameter"), "length")
SURFACE_MAX = Box("surface_max", ("surface_max",), _("Highest rim speed marked"))
LINE_MAX = Box("surface_max", ("surface_max",), _("Highest speed of the line's ends marked, such as 100 m/s"))
UNLIMITED = Box(
    "unlimited",
    ("unlimited",),
    _("Nothing limits its speed, because"),
    hint=_(
        "A part without a highest speed keeps the machine from passing, unless you can say why it has none."
    ),
)
MARKED = (
    Box("speed_max", ("speed_max",), _("Highest speed marked on it, rpm"), "speed"),
    Box("speed_min", ("speed_min",), _("Lowest speed it needs, rpm"), "speed"),
    Box("source", ("source",), _("Where that is marked or printed")),
)
BOXES: Mapping[Shape, tuple[Box, ...]] = {
    "string head": (DIAMETER, LINE_MAX, SIZES_FROM),
    "wheel": (
        DIAMETER,
        Box(
            "marked_class",
            ("marked_class",),
            _("Class marked on it"),
            "choice",
            (UNKNOWN, *((marked, marked) for marked in WHEEL_CLASSES)),
        ),
        SURFACE_MAX,
        SIZES_FROM,
    ),
    "disc": (DIAMETER, SURFACE_MAX, SIZES_FROM),
    "alternator": (
        Box("poles", ("poles",), _("Poles"), "whole", must=True),
        Box(
            "frequency_max",
            ("frequency_max",),
            _("Highest frequency, no load"),
            "frequency",
            hint=_("From its plate or manual, such as 63 Hz. Needed, unless it is an inverter."),
        ),
        Box("frequency_min", ("frequency_min",), _("Lowest frequency, loaded"), "frequency"),
        Box(
            "performance_class",
            ("performance_class",),
            _("Class"),
            "choice",
            (UNKNOWN, *((plated, plated) for plated in SET_CLASSES)),
        ),
        Box("inverter", ("inverter",), _("Inverter: makes its frequency apart from speed"), "flag"),
        UNLIMITED,
    ),
    "driven": (UNLIMITED,),
}


def shape_of(kind: str) -> Shape:
    """What can be said of a part of this kind, by its key."""
    return next(one.shape for one in PART_KINDS if one.key == kind)


def boxes_of_part(kind: str, measured: str) -> tuple[Box, ...]:
    """The boxes of a part: its sizes as they were measured, then what is marked on it."""
    shape = shape_of(kind)
    if shape != "blade":
        return (*BOXES[shape], *MARKED)
    sizes = ARMS if measured == ARMS_MEASURED else SQUARE if measured == "square across" else LENGTH
    return (*BLADE_START, *sizes, *NEW_BLADE, SIZES_FROM, *MARKED)
